"""On the map of every demo press each roller and each contact can be touched, however near its neighbours are.

48 px are the project's own promise; 24 by 24 px left free of neighbours are the least of WCAG 2.2 (2.5.8). Every place
of the map stands in the table below it as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser.chromium import SCREENS, Screen
from browser.looking import LEAST_TARGET_PX, eyes
from browser.served import serving
from filmsplit.actions.shop import Shop, bring_demo_press
from filmsplit.library.workshop import demo_presses

LEAST_FREE_PX2 = 24 * 24
PLACES = """() => [...document.querySelectorAll(".train-map a")].map((link) => {
  const touch = link.querySelector(".touch");
  touch.scrollIntoView({block: "center", inline: "center"});
  const box = touch.getBoundingClientRect();
  const mine = (x, y) => document.elementFromPoint(x, y)?.closest("a") === link;
  let free = 0;
  for (let x = box.left + 1; x < box.right; x += 2)
    for (let y = box.top + 1; y < box.bottom; y += 2) if (mine(x, y)) free += 4;
  return {name: link.getAttribute("aria-label"), width: box.width, free,
          middle: mine((box.left + box.right) / 2, (box.top + box.bottom) / 2)};
})"""


@pytest.fixture(scope="module")
def all_presses(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    folder: Path = tmp_path_factory.mktemp("presses")
    for name in demo_presses():
        bring_demo_press(Shop(folder), name)
    with serving(folder) as address:
        yield address


@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_every_place_can_be_touched(chromium: Browser, all_presses: str, *, screen: Screen) -> None:
    with eyes(chromium, all_presses, screen=screen, light="light") as seeing:
        for press in demo_presses():
            seeing.go(f"/presses/{press}")
            places = seeing.page.evaluate(PLACES)
            assert len(places) > 20
            for place in places:
                assert place["width"] >= LEAST_TARGET_PX, (press, place)
                assert place["free"] >= LEAST_FREE_PX2, (press, place)
                assert place["middle"], (press, place)
