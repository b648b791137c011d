"""A job by hand in a real browser: typed, set, logged, corrected; every page on the way looked at as any other is."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from browser.chromium import LIGHTS, SCREENS, Screen
from browser.looking import Eyes, eyes
from browser.served import fill, serving
from filmsplit.messages import label


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A workbench of its own: here jobs are put on record."""
    with serving(fill(tmp_path_factory.mktemp("jobs"))) as address:
        yield address


def on(seeing: Eyes) -> list[str]:
    """Press the one main button; what falls short on the page that comes."""
    with seeing.page.expect_navigation(wait_until="load"):
        seeing.page.click("button.main")
    seeing.wait()
    return seeing.wrong()


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_from_coverage_to_moves(chromium: Browser, shop: str, *, screen: Screen, light: str) -> None:
    with eyes(chromium, shop, screen=screen, light=light) as seeing:
        seeing.go("/jobs")
        page, wrong = seeing.page, [seeing.wrong()]
        page.fill("#coverage", "20 20 20")
        wrong.append(on(seeing))
        assert page.locator(".problem.refused").count() == 1
        zones = int(page.locator("#where option").first.inner_text().split()[-2])
        page.fill("#coverage", f"{zones - 1}x20 5")
        page.fill("#title", "Poster")
        wrong.append(on(seeing))
        assert page.locator("tbody tr").count() == zones
        page.check("[name=as_set]")
        page.fill("#aim_density", "1.4")
        wrong.append(on(seeing))
        page.fill("#densities", " ".join(["1.4"] * (zones - 1) + ["1.1"]))
        wrong.append(on(seeing))
        assert page.get_by_role("heading", name=label("web_logged.moves")).count() == 1
    # The browser itself says that the form sent back was not accepted (422).
    assert [[each for each in found if "422" not in each] for found in wrong] == [[]] * 5
