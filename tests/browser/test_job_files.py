"""A job of a plate file by hand, on a tablet: brought, set, kept; how many touches that takes; and called off.

Source of the most touches: the project's own promise (12 to set up a job).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from browser.chromium import TABLET
from browser.looking import Eyes, eyes
from browser.served import fill, serving
from filmsplit.actions.demo_works import works, write_work
from filmsplit.actions.shop import Shop, bring_demo_press
from filmsplit.messages import label

MOST_TOUCHES = 12
COUNTED = 6
"""Jobs; the field of files, the file; press and unit, opened and chosen; the main button."""
LONGEST_MS = 240_000
"""A poster of 234 million dots on a busy computer."""


@dataclass(slots=True)
class Finger:
    """Touches a page and counts."""

    page: Page
    touches: int = 0

    def on(self, selector: str) -> None:
        self.page.tap(selector)
        self.touches += 1

    def choose(self, selector: str, value: str) -> None:
        """A list is opened, and a line of it touched."""
        self.page.select_option(selector, value)
        self.touches += 2

    def bring(self, selector: str, file: Path) -> None:
        """The field is touched, then the file in the tablet's own list."""
        with self.page.expect_file_chooser() as choosing:
            self.on(selector)
        choosing.value.set_files(str(file))
        self.touches += 1


def wrong_with(seeing: Eyes, selector: str) -> list[str]:
    """What falls short on the page that has this, when it is whole."""
    seeing.page.wait_for_selector(selector)
    seeing.page.wait_for_load_state("load")
    return seeing.wrong()


def taken_away(seeing: Eyes) -> list[str]:
    """The file is asked about and left; the kept job is asked about and taken off its list. What falls short."""
    page = seeing.page
    seeing.go("/jobs/files")
    wrong = seeing.wrong()
    page.tap("ul.links a[href^='/jobs/files/']")
    wrong += wrong_with(seeing, "form[action='/jobs/files/delete']")
    page.tap("form[action='/jobs/files/delete'] a.button")
    page.wait_for_selector("main ul.links")
    seeing.go("/jobs")
    page.tap("#kept ~ ul a.button")
    wrong += wrong_with(seeing, "form[action='/jobs/kept/remove']")
    page.tap("button.main")
    page.wait_for_selector("#kept ~ p")
    assert page.locator("#kept ~ ul").count() == 0
    return wrong


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    folder = fill(tmp_path_factory.mktemp("files"))
    bring_demo_press(Shop(folder), "lapwing")
    with serving(folder) as address:
        yield address


@pytest.fixture(scope="module")
def poster(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_work(works()["window"], tmp_path_factory.mktemp("made")).files[0]


def test_a_job_is_set_up_in_few_touches_kept_and_opened_again(chromium: Browser, shop: str, poster: Path) -> None:
    with eyes(chromium, shop, screen=TABLET, light="light") as seeing:
        page, finger, wrong = seeing.page, Finger(seeing.page), []
        page.set_default_timeout(LONGEST_MS)
        seeing.go("/")
        finger.on("nav a[href='/jobs']")
        page.wait_for_url("**/jobs")
        finger.bring("#files", poster)
        page.wait_for_url("**work=*")
        wrong += seeing.wrong()
        assert page.locator(".bring .file").inner_text() == poster.name
        finger.choose("#where", "heron/A")
        finger.on("button.main")
        wrong += wrong_with(seeing, "[data-stage]")
        wrong += wrong_with(seeing, "tbody tr")
        open_percent = [float(each) for each in page.locator("tbody tr td:nth-child(4)").all_inner_texts()]
        assert len(open_percent) == 10  # keys of the Heron, counted on its drawing
        assert max(open_percent) > min(open_percent) >= 0
        assert finger.touches == COUNTED <= MOST_TOUCHES
        page.tap(f"button:text('{label('web_kept.keep')}')")
        wrong += wrong_with(seeing, "#keep ~ p.done")
        seeing.go("/jobs")
        wrong += seeing.wrong()
        page.tap("#kept ~ ul a")
        page.wait_for_selector("#keep ~ p.done")
        wrong += taken_away(seeing)
    assert wrong == []


def test_a_job_is_called_off_by_touch(chromium: Browser, shop: str, poster: Path) -> None:
    with eyes(chromium, shop, screen=TABLET, light="dark") as seeing:
        page = seeing.page
        page.set_default_timeout(LONGEST_MS)
        seeing.go("/jobs")
        page.set_input_files("#files", str(poster))
        page.wait_for_url("**work=*")
        page.fill("#run", "4321")
        page.tap("form[action='/jobs/set'] button.main")
        wrong = wrong_with(seeing, "[data-stage]")
        page.tap("button.main")
        page.wait_for_selector("#run")
        assert page.input_value("#run") == "4321"
        assert page.locator(".bring .file").inner_text() == poster.name
    assert wrong == []


def test_a_file_is_dropped_on_the_form(chromium: Browser, shop: str) -> None:
    with eyes(chromium, shop, screen=TABLET, light="light") as seeing:
        page = seeing.page
        page.set_default_timeout(LONGEST_MS)
        seeing.go("/jobs")
        page.fill("#title", "Typed before")
        page.evaluate(
            """() => {
              const held = new DataTransfer();
              held.items.add(new File(["no work"], "letter.txt", {type: "text/plain"}));
              const dropped = new DragEvent("drop", {dataTransfer: held, cancelable: true});
              document.querySelector("form.bring").dispatchEvent(dropped);
            }"""
        )
        page.wait_for_selector(".problem.refused")
        assert "letter.txt" in page.inner_text(".problem.refused")
        assert page.input_value("#title") == "Typed before"
