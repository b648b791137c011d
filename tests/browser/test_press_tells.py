"""The map in a real browser: its rollers turn when asked, and only then where less motion is wanted.

Sources: WCAG 2.2, 2.2.2 (what moves can be stopped) and prefers-reduced-motion (Media Queries 5).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import timedelta

import pytest
from playwright.sync_api import Browser

from browser.chromium import DESK, LIGHTS, PHONE, SCREENS, TABLET, Screen
from browser.looking import eyes
from browser.served import fill, serving
from filmsplit.actions.find import find_press
from filmsplit.actions.jobs import today
from filmsplit.actions.map_tells import Telling
from filmsplit.actions.readings import Told, record
from filmsplit.actions.register import Daybook
from filmsplit.actions.shop import Shop, bring_demo_press
from filmsplit.figures.marks_sheet import rule_of
from filmsplit.messages import label

PLACES = "() => [...document.querySelectorAll('.spin')].map((each) => each.getAttribute('transform') ?? '')"
TELLINGS = (Telling.FILM, Telling.INK_PATH, Telling.TURNING, Telling.DRIVE, Telling.MOTION)


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_nothing_falls_short(chromium: Browser, heron_shop: str, *, screen: Screen, light: str) -> None:
    with eyes(chromium, heron_shop, screen=screen, light=light) as seeing:
        for telling in TELLINGS:
            assert seeing.go(f"/presses/heron/A?tells={telling.value}") == 200
            assert seeing.wrong() == [], telling


def test_rollers_stand_still_until_asked_where_less_motion_is_wanted(chromium: Browser, heron_shop: str) -> None:
    with eyes(chromium, heron_shop, screen=DESK, light="light") as seeing:
        seeing.go("/presses/heron/A?tells=turning")
        seeing.page.wait_for_timeout(300)
        before = seeing.page.evaluate(PLACES)
        assert not any(before)
        seeing.page.click(".turner")
        seeing.page.wait_for_timeout(300)
        moving = seeing.page.evaluate(PLACES)
        assert all(moving)
        seeing.page.click(".turner")
        stopped = seeing.page.evaluate(PLACES)
        seeing.page.wait_for_timeout(200)
        assert seeing.page.evaluate(PLACES) == stopped
        assert seeing.complaints == []


def test_rollers_turn_at_once_otherwise_and_ductors_reach_both_sides(chromium: Browser, heron_shop: str) -> None:
    context = chromium.new_context(reduced_motion="no-preference")
    page = context.new_page()
    page.clock.install()
    page.goto(f"{heron_shop}/presses/heron/A?tells=turning")
    seen = []
    for _ in range(80):
        page.clock.run_for(500)
        seen.append(page.eval_on_selector(".spin[data-at]", "(each) => each.getAttribute('transform')"))
    context.close()
    assert len({each.partition("rotate")[0] for each in seen}) > 1
    assert any(each.startswith("translate(0 0)") for each in seen)


MOST_TOUCHES = 6
PAGES = (
    "/presses/compare?with=heron&with=wagtail",
    "/presses/heron/A/marks",
    "/presses/heron/A/marks?at=20+189.6+359.3",
    "/presses/heron/A/as-found?of=F1",
    "/presses/heron/A/roller/F1",
    "/presses",
)


@pytest.fixture(scope="module")
def aged_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Two presses, and a first form roller that hardened over two years."""
    folder = fill(tmp_path_factory.mktemp("aged"))
    bring_demo_press(Shop(folder), "wagtail")
    for number in range(7):
        told = Told(where="heron-F1", kind="hardness", values=(25.0 + 4 * number,) * 3, temperature_c=23.0)
        record([told], book=Daybook(Shop(folder).records, today() - timedelta(days=700 - 100 * number)))
    with serving(folder) as address:
        yield address


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_the_pages_beside_the_map_fall_short_of_nothing(
    chromium: Browser, aged_shop: str, *, screen: Screen, light: str
) -> None:
    with eyes(chromium, aged_shop, screen=screen, light=light) as seeing:
        for path in PAGES:
            assert seeing.go(path) == 200
            assert seeing.wrong() == [], path


def test_what_a_hard_roller_does_is_found_in_six_touches(chromium: Browser, aged_shop: str) -> None:
    """The most is the project's own promise."""
    with eyes(chromium, aged_shop, screen=TABLET, light="light") as seeing:
        seeing.go("/")
        page, touches = seeing.page, 0
        for touched in (
            'nav a[href="/presses"]',
            '.cards a[href="/presses/heron"]',
            '.train-map a[href="/presses/heron/A/roller/F1"]',
            'a.main[href="/presses/heron/A/as-found?of=F1"]',
        ):
            page.locator(touched).first.tap()
            page.wait_for_load_state("load")
            touches += 1
        seeing.wait()
        assert label("web_found.title_of", roller="F1") in page.inner_text("h1")
        assert touches <= MOST_TOUCHES
        assert seeing.complaints == []


def test_a_sheet_is_tapped_where_the_marks_are(chromium: Browser, aged_shop: str) -> None:
    """Three taps a turn of the first form roller apart (pi x 54 mm): it is the first suspect."""
    press = find_press("heron").press
    rule = rule_of(press, press.units[0])
    with eyes(chromium, aged_shop, screen=PHONE, light="light") as seeing:
        seeing.go("/presses/heron/A/marks")
        for turn in range(3):
            seeing.page.locator(".tapped").tap(position={"x": 150, "y": rule.y(20 + math.pi * 54 * turn)})
            seeing.page.wait_for_load_state("load")
        assert "F1" in seeing.page.inner_text("tbody tr:first-child")
        assert seeing.complaints == []
