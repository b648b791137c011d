"""Rollers placed over a photo by touch and by keyboard, in a real browser, every page on the way looked at.

Where the rollers are is the press file that the photo was drawn from.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Browser

from browser.chromium import DESK, PHONE, TABLET, Screen
from browser.looking import Eyes, eyes
from browser.served import fill, serving
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path
from filmsplit.press.survey import survey
from web.drawn_photo import Drawn

HERE = "/presses/heron/A/photo"
DRAWN = Drawn()
UNIT = survey(load(demo_path("heron")).press).press.units[0]
WIDE = {"desk": 760, "tablet": 760, "phone": 360}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[str]:
    with serving(fill(tmp_path)) as address:
        yield address


def small(seeing: Eyes) -> list[str]:
    with seeing.page.expect_navigation(wait_until="load"):
        seeing.page.get_by_role("link", name="small").click()
    return seeing.wrong()


def touch(seeing: Eyes, dot: tuple[float, float], *, wide: int) -> list[str]:
    """Touch a dot of the photo; what falls short on the page that comes."""
    per_pixel = DRAWN.size[0] / wide
    photo = seeing.page.locator("input[type=image]")
    with seeing.page.expect_navigation(wait_until="load"):
        photo.click(position={"x": dot[0] / per_pixel, "y": dot[1] / per_pixel})
    return seeing.wrong()


def choose_photo(seeing: Eyes) -> list[str]:
    assert seeing.go(HERE) == 200
    wrong = seeing.wrong()
    photo = {"name": "press.jpg", "mimeType": "image/jpeg", "buffer": DRAWN.photo(UNIT)}
    seeing.page.set_input_files("#file", files=[photo])
    with seeing.page.expect_navigation(wait_until="load"):
        seeing.page.click("button.main")
    return wrong + seeing.wrong()


def told(seeing: Eyes) -> list[str]:
    seeing.page.fill("#length", "500")
    seeing.page.select_option("#lie", "level")
    seeing.page.select_option("#seen", "operator")
    with seeing.page.expect_navigation(wait_until="load"):
        seeing.page.click("button.main")
    return seeing.wrong()


@pytest.mark.parametrize(
    ("screen", "light"),
    [(DESK, "dark"), (TABLET, "light"), (PHONE, "dark")],
    ids=lambda each: getattr(each, "name", each),
)
def test_a_roller_is_found_where_it_was_touched(chromium: Browser, shop: str, screen: Screen, light: str) -> None:
    wide = WIDE[screen.name]
    roller = UNIT.rollers[0]
    assert roller.centre is not None
    axis = DRAWN.at(roller.centre.x_mm, roller.centre.y_mm)
    with eyes(chromium, shop, screen=screen, light=light) as seeing:
        wrong = choose_photo(seeing)
        if screen is PHONE:
            wrong += small(seeing)
        for dot in (DRAWN.at(-300, -120), DRAWN.at(200, -120), DRAWN.axis):
            wrong += touch(seeing, dot, wide=wide)
        wrong += told(seeing)
        if screen is PHONE:
            wrong += small(seeing)
        seeing.page.select_option("#who", roller.id)
        wrong += touch(seeing, axis, wide=wide)
        wrong += touch(seeing, (axis[0] + roller.diameter_mm / 2 * DRAWN.per_mm, axis[1]), wide=wide)
        found = parse_qs(urlsplit(seeing.page.url).query)
    # A pixel is what a finger can mean; two ends of the scale and the plate's axis are touched to a pixel as well.
    pixel_mm = DRAWN.size[0] / wide / DRAWN.per_mm
    assert wrong == []
    assert found["id"] == [roller.id]
    assert float(found["x_mm"][0]) == pytest.approx(roller.centre.x_mm, abs=2 * pixel_mm)
    assert float(found["y_mm"][0]) == pytest.approx(roller.centre.y_mm, abs=2 * pixel_mm)
    assert float(found["diameter_mm"][0]) == pytest.approx(roller.diameter_mm, abs=4 * pixel_mm)


def test_positions_can_be_typed_by_keyboard_alone(chromium: Browser, shop: str) -> None:
    with eyes(chromium, shop, screen=DESK, light="light") as seeing:
        wrong = choose_photo(seeing)
        seeing.page.get_by_role("link", name="Type positions").focus()
        with seeing.page.expect_navigation(wait_until="load"):
            seeing.page.keyboard.press("Enter")
        for right, down in (DRAWN.at(-300, -120), DRAWN.at(200, -120), DRAWN.axis):
            seeing.page.locator("#right").focus()
            seeing.page.keyboard.type(f"{right:.0f}")
            seeing.page.keyboard.press("Tab")
            seeing.page.keyboard.type(f"{down:.0f}")
            with seeing.page.expect_navigation(wait_until="load"):
                seeing.page.keyboard.press("Enter")
            wrong += seeing.wrong()
        wrong += told(seeing)
        assert wrong == []
        assert seeing.page.locator(".photo svg circle").count() > len(UNIT.rollers)
