"""A round by touch: every touch counted, from the first page to the last reading.

60 touches for twelve contacts are the project's own promise. Widths are invented: none is more than 1 mm from the
target, as on a press that is looked after; another width takes two touches more. The name is typed once;
typing is no touch.
"""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser, Locator

from browser.chromium import TABLET
from browser.looking import eyes
from browser.served import serving
from filmsplit.actions.jobs import today
from filmsplit.actions.readings import listed
from filmsplit.actions.register import Daybook, register
from filmsplit.actions.shop import Shop, bring_demo_press
from filmsplit.web.pages.round_gate import BOXES

CONTACTS, MOST_TOUCHES = 12, 60
OFF_STEPS = (-10, 3, 7)
"""How many steps the three places lie from the middle of the likely widths: out to the edge of what is offered."""


def test_twelve_contacts_by_touch(chromium: Browser, tmp_path: Path) -> None:
    kept = bring_demo_press(Shop(tmp_path), "wagtail")
    book = Daybook(Shop(tmp_path).records, today())
    register(str(kept.path), book=book)
    touches = 0

    def tap(what: Locator) -> None:
        nonlocal touches
        touches += 1
        what.tap()

    with serving(tmp_path) as address, eyes(chromium, address, screen=TABLET, light="light") as seeing:
        page = seeing.page
        seeing.go("/")
        tap(page.get_by_role("link", name="Rounds"))
        tap(page.get_by_role("button", name="Begin at"))
        page.wait_for_url("**/gate")
        tap(page.locator("#name"))
        page.keyboard.type("Invented Person")
        for box in BOXES:
            tap(page.locator(f"label:has(input[name='{box}'])"))
        tap(page.get_by_role("button", name="This is so"))
        for _ in range(CONTACTS):
            page.wait_for_url("**/contact/**")
            for place, off in zip(("operator", "middle", "gear"), OFF_STEPS, strict=True):
                chips = page.locator(f"label.chip:has(input[name='width_{place}'])")
                tap(chips.nth(10 + off))
            with page.expect_navigation():
                tap(page.get_by_role("button", name="Put on record, then"))
        assert seeing.complaints == []
    assert len(listed("", book=book, kinds=("stripe",)).entries) == CONTACTS
    assert touches == 2 + 1 + len(BOXES) + 1 + 4 * CONTACTS
    assert touches <= MOST_TOUCHES


def test_every_page_of_a_round_in_progress(chromium: Browser, tmp_path: Path) -> None:
    """What following links cannot reach: behind the gate. Held to the same as every other page."""
    kept = bring_demo_press(Shop(tmp_path), "heron")
    register(str(kept.path), book=Daybook(Shop(tmp_path).records, today()))
    with serving(tmp_path) as address, eyes(chromium, address, screen=TABLET, light="dark") as seeing:
        page = seeing.page
        seeing.go("/rounds")
        page.get_by_role("button", name="Begin at").tap()
        page.wait_for_url("**/gate")
        page.fill("#name", "Invented Person")
        for box in BOXES:
            page.locator(f"label:has(input[name='{box}'])").tap()
        page.get_by_role("button", name="This is so").tap()
        page.wait_for_url("**/contact/**")
        page.wait_for_load_state("networkidle")  # what is still on its way would fail as we leave
        for path in ("/rounds/1/contact/F1/plate", "/rounds/1", "/rounds/1/result", "/rounds/1/gate", "/history"):
            assert seeing.go(path) == 200
            assert seeing.wrong() == [], path
