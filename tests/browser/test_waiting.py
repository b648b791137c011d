"""The page on which somebody waits, in a real browser: looked at as any other, it shows what it waits for by itself,
and one touch calls it off."""

from __future__ import annotations

from collections.abc import Iterator
from threading import BoundedSemaphore

import pytest
from playwright.sync_api import Browser

from browser.chromium import LIGHTS, SCREENS, TABLET, Screen
from browser.looking import eyes
from browser.served import fill, serving
from filmsplit.messages import label
from filmsplit.web import desks

JOB = "/jobs/set?where=heron/A&coverage=10x20&run=4321&title="
LONGEST_MS = 120_000


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with serving(fill(tmp_path_factory.mktemp("waiting"))) as address:
        yield address


@pytest.fixture
def turn(monkeypatch: pytest.MonkeyPatch) -> Iterator[BoundedSemaphore]:
    """The only turn there is, taken: whatever is asked for waits until it is given back."""
    one = BoundedSemaphore(1)
    monkeypatch.setattr(desks, "ANSWERED_S", 0.0)
    monkeypatch.setattr("filmsplit.web.pages.job_set.HERE", one)
    one.acquire()
    yield one
    one.acquire(blocking=False)
    one.release()


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_nothing_falls_short_and_it_then_comes_by_itself(
    chromium: Browser, shop: str, turn: BoundedSemaphore, *, screen: Screen, light: str
) -> None:
    with eyes(chromium, shop, screen=screen, light=light) as seeing:
        page = seeing.page
        page.goto(f"{shop}{JOB}{screen.name}+{light}")
        assert page.inner_text("[data-stage]") == label("web_wait.turn")
        assert seeing.wrong() == []
        turn.release()
        page.wait_for_selector("#keys-1", timeout=LONGEST_MS)
        assert seeing.complaints == []


def test_one_touch_calls_it_off_and_nothing_that_was_typed_is_lost(
    chromium: Browser, shop: str, turn: BoundedSemaphore
) -> None:
    with eyes(chromium, shop, screen=TABLET, light="light") as seeing:
        page = seeing.page
        page.goto(f"{shop}{JOB}Off")
        page.tap("button.main")
        page.wait_for_selector("#run")
        assert page.input_value("#run") == "4321"
        assert page.input_value("#title") == "Off"
    assert turn.acquire(blocking=False) is False, "it never had a turn"


def test_without_a_script_it_comes_by_itself_too(chromium: Browser, shop: str, turn: BoundedSemaphore) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{shop}{JOB}Plain")
    assert page.locator("[data-stage]").count() == 1
    turn.release()
    page.wait_for_selector("#keys-1", timeout=LONGEST_MS)
    context.close()
