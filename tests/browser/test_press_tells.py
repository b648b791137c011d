"""The map in a real browser: its rollers turn when asked, and only then where less motion is wanted.

Sources: WCAG 2.2, 2.2.2 (what moves can be stopped) and prefers-reduced-motion (Media Queries 5).
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from browser.chromium import DESK, LIGHTS, SCREENS, Screen
from browser.looking import eyes
from filmsplit.actions.map_tells import Telling

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
