"""Every kind of page, found by following the links from the first one, at three sizes and in both lights.

Sources: sizes and least sizes are the project's own promise; access by axe-core's rules (WCAG 2.2 A and AA, and its
best practices), serious and critical findings; jumps by Web Vitals (CLS at most 0.1).
"""

from __future__ import annotations

from collections import Counter

import pytest
from playwright.sync_api import Browser

from browser.chromium import DESK, LIGHTS, SCREENS, Screen
from browser.looking import Eyes, downloads, eyes, kind_of

MOST_OF_A_KIND = 2
STARTS = ("/", "/find?for=vibrator", "/find?for=xyzzyq", "/messages/web-token-missing")
"""The first page, and what only a search leads to."""


def walked(seeing: Eyes) -> dict[str, list[str]]:
    """Go through the shop from its first page; what falls short, by address, of two pages of every kind."""
    looked: Counter[str] = Counter()
    ahead, known, wrong = [*STARTS], {*STARTS}, {}
    while ahead:
        path = ahead.pop(0)
        if looked[kind_of(path)] >= MOST_OF_A_KIND:
            continue
        looked[kind_of(path)] += 1
        status = seeing.go(path)
        assert status == 200, (path, status)
        wrong[path] = seeing.wrong()
        new = [each for each in dict.fromkeys(seeing.links()) if each not in known and not downloads(each)]
        known.update(new)
        ahead += new
    return wrong


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
@pytest.mark.parametrize("shop", ["empty_shop", "heron_shop"])
def test_nothing_falls_short(
    chromium: Browser, request: pytest.FixtureRequest, *, shop: str, screen: Screen, light: str
) -> None:
    with eyes(chromium, request.getfixturevalue(shop), screen=screen, light=light) as seeing:
        wrong = walked(seeing)
    assert len(wrong) >= 4
    assert {path: found for path, found in wrong.items() if found} == {}


def test_a_page_that_falls_short_would_be_noticed(chromium: Browser, empty_shop: str) -> None:
    """The eyes themselves: each thing they look for, spoiled on purpose."""
    spoil = """() => {
      document.querySelector("h1").style.fontSize = "9px";
      document.querySelector("nav a").style.cssText = "min-height: 0; display: block; height: 20px";
      document.querySelector("main").style.cssText = "width: 3000px; max-width: none";
      document.querySelector("p.lead").style.cssText = "color: #ccc; background: #ddd";
      console.error("spoiled");
    }"""
    with eyes(chromium, empty_shop, screen=DESK, light="light") as seeing:
        seeing.go("/")
        seeing.page.evaluate(spoil)
        text = "\n".join(seeing.wrong())
    for part in ("text of 9.0 px", "target of", "px wide", "color-contrast", "console error: spoiled"):
        assert part in text
