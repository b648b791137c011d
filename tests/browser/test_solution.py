"""Fountain solution in a real browser: every page with much on record, and a sample put on record by touch.

Sources: sizes and access as for every page; the worked figures are those of PIA guidance on conductivity (memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
from playwright.sync_api import Browser

from browser.chromium import LIGHTS, SCREENS, TABLET, Screen
from browser.looking import eyes
from browser.served import fill, serving
from filmsplit.actions.jobs import today
from filmsplit.actions.register import Daybook
from filmsplit.actions.shop import Shop, bring_demo_press, kept_press
from filmsplit.actions.solution import Telling, put_sample, put_titration
from filmsplit.condition.solution import Sample, Where
from filmsplit.condition.titration import Dosed

BATCHES = ((1460.0, (1540.0, 1660.0, 1810.0, 1990.0)), (1440.0, (1480.0, 1620.0, 1700.0, 1850.0)))
PAGES = (
    "/solution",
    "/solution/heron",
    "/solution/dipper",
    "/solution/heron/sample",
    "/solution/dipper/sample",
    "/solution/heron/titration",
    "/solution/heron/bands",
    "/procedures/sample-solution",
    "/history?kind=sample",
    "/due",
)
MOST_TOUCHES = 3


@pytest.fixture(scope="module")
def sampled_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a workbench with two batches and a titration line on record, day by day."""
    shop = Shop(fill(tmp_path_factory.mktemp("sampled")))
    bring_demo_press(shop, "dipper")
    press = kept_press(shop, "heron").press
    assert press is not None
    book = Daybook(shop.records, today() - timedelta(days=10))
    doses = [Dosed(dose_percent=float(dose), us_per_cm=310.0 + 380.0 * dose) for dose in range(5)]
    put_titration(press, doses, book=book, person="Kim", telling=Telling())
    for fresh, used in BATCHES:
        for number, read in enumerate((fresh, *used)):
            where = Where.PAN if number else Where.TANK
            sample = Sample(
                day=book.day, press="", where=where, fresh=not number, us_per_cm=read, ph=5.0, temperature_c=14.5
            )
            put_sample(press, sample, book=book, telling=Telling())
            book = Daybook(shop.records, book.day + timedelta(days=1))
    with serving(shop.folder) as address:
        yield address


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_nothing_falls_short(chromium: Browser, sampled_shop: str, *, screen: Screen, light: str) -> None:
    with eyes(chromium, sampled_shop, screen=screen, light=light) as seeing:
        for path in PAGES:
            assert seeing.go(path) == 200
            assert seeing.wrong() == [], path
            broken = seeing.page.evaluate("() => [...document.images].filter((each) => !each.naturalWidth).length")
            assert broken == 0, path


def test_a_sample_of_the_pan_takes_one_field_and_few_touches(chromium: Browser, sampled_shop: str) -> None:
    """From the page of the press to its verdict: open the form, the field, put it on record."""
    with eyes(chromium, sampled_shop, screen=TABLET, light="light") as seeing:
        seeing.go("/solution/heron")
        touches = 0
        for touched in (".main", "#conductivity"):
            seeing.page.tap(touched)
            touches += 1
        seeing.page.keyboard.type("2010")
        seeing.page.tap("button.main")
        assert touches + 1 <= MOST_TOUCHES
        seeing.page.wait_for_selector(".done")
        assert seeing.page.inner_text(".verdict").lower() == "change it"
        assert "+570 µS/cm" in seeing.page.inner_text("main")
        assert seeing.complaints == []
