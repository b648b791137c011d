"""Pages on paper and on a wall: nothing cut off, the menu left out, and letters for the back row.

Paper: A4 and Letter with the browser's own margin of 0.4 in (10 mm), at 96 px to the inch. On a wall: the project's own
promise; contrast by axe-core as for every page.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from browser.chromium import DESK, LIGHTS
from browser.looking import Eyes, eyes

PAGES = (
    "/",
    "/presses/heron/A",
    "/presses/heron/A/roller/F1",
    "/rollers",
    "/history",
    "/due",
    "/procedures/wash-up",
    "/words",
)
PAPER_PX = {"A4": 794 - 77, "Letter": 816 - 77}
CUT_OFF = """(width) => [...document.querySelectorAll("table, svg, p, h1, h2, dd")]
  .filter((each) => each.checkVisibility() && each.getBoundingClientRect().right > width + 1)
  .map((each) => each.outerHTML.slice(0, 120))"""
SHOWN = """() => [...document.querySelectorAll(".top, footer, form, .help, .skip")]
  .filter((each) => each.checkVisibility()).map((each) => each.outerHTML.slice(0, 80))"""


@pytest.mark.parametrize("paper", PAPER_PX)
def test_nothing_is_cut_off_on_paper_and_no_menu_is_printed(chromium: Browser, heron_shop: str, paper: str) -> None:
    with eyes(chromium, heron_shop, screen=DESK, light="dark") as seeing:
        seeing.page.emulate_media(media="print")
        seeing.page.set_viewport_size({"width": PAPER_PX[paper], "height": 1000})
        for path in PAGES:
            assert seeing.go(path) == 200
            assert seeing.page.evaluate(CUT_OFF, PAPER_PX[paper]) == [], path
            assert seeing.page.evaluate(SHOWN) == [], path
            assert seeing.page.pdf(format=paper).startswith(b"%PDF-"), path


@pytest.mark.parametrize("light", LIGHTS)
def test_on_a_wall_letters_are_large_and_nothing_falls_short(chromium: Browser, heron_shop: str, light: str) -> None:
    with eyes(chromium, heron_shop, screen=DESK, light=light) as seeing:
        seeing.go("/look")
        seeing.page.check('input[name="size"][value="projector"]')
        seeing.page.click("main button.main")
        for path in PAGES:
            assert seeing.go(path) == 200
            assert seeing.wrong() == [], path
            size = seeing.page.evaluate("parseFloat(getComputedStyle(document.querySelector('main')).fontSize)")
            assert size >= 24, path
        map_px = _map_width(seeing, "/presses/heron/A")
        assert map_px > 0.9 * DESK.width


def _map_width(seeing: Eyes, path: str) -> float:
    seeing.go(path)
    return float(seeing.page.evaluate("document.querySelector('.map').getBoundingClientRect().width"))
