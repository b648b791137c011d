"""Pages that show a state: a round running and one at its end, a job set and logged, a press file that cannot be used.

Held to the same as every page that links lead to: see the test of every page.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from browser.chromium import DESK, PHONE, TABLET, Screen
from browser.looking import eyes
from browser.served import serving
from web.lived_in import lived_in

Shop = tuple[str, list[str]]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """The address of a workbench in use, and the pages that only its state leads to."""
    folder = tmp_path_factory.mktemp("lived-in")
    paths = lived_in(folder)
    with serving(folder) as address:
        yield address, paths


@pytest.mark.parametrize(("screen", "light"), [(TABLET, "dark"), (PHONE, "light"), (DESK, "light")], ids=str)
def test_nothing_falls_short(chromium: Browser, shop: Shop, *, screen: Screen, light: str) -> None:
    address, paths = shop
    wrong = {}
    with eyes(chromium, address, screen=screen, light=light) as seeing:
        for path in paths:
            assert seeing.go(path) == 200, path
            seeing.page.wait_for_load_state("networkidle")  # what is still on its way would fail as we leave
            wrong[path] = seeing.wrong()
    assert {path: found for path, found in wrong.items() if found} == {}
