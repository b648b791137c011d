"""The hands of a person before a page: a finger, a mouse, or the keyboard alone.

All do the same to the same selectors, so one walk is tried with each of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from playwright.sync_api import Locator, Page

MOST_STOPS = 250
"""How often the Tab key is pressed before a thing counts as out of reach."""
HERE = "(each) => each === document.activeElement"
RINGED = """(each) => {
  const style = getComputedStyle(each), beside = each.nextElementSibling && getComputedStyle(each.nextElementSibling);
  return style.outlineStyle !== "none" || (beside !== null && beside.outlineStyle !== "none");
}"""


class Hands(Protocol):
    """What a person does to a page."""

    page: Page

    def press(self, selector: str) -> None: ...

    def write(self, selector: str, text: str) -> None: ...

    def choose(self, selector: str, value: str) -> None: ...

    def tick(self, selector: str) -> None: ...

    def bring(self, selector: str, file: Path) -> None: ...


@dataclass(slots=True)
class Pointer:
    """A finger where the screen is touched, else a mouse."""

    page: Page
    touch: bool

    def press(self, selector: str) -> None:
        self._on(self.page.locator(selector).first)

    def write(self, selector: str, text: str) -> None:
        self.press(selector)
        self.page.locator(selector).first.fill(text)

    def choose(self, selector: str, value: str) -> None:
        self.page.select_option(selector, value)

    def tick(self, selector: str) -> None:
        """The label is touched, as a thumb does."""
        self._on(self.page.locator(f"label:has({selector})").first)

    def bring(self, selector: str, file: Path) -> None:
        with self.page.expect_file_chooser() as choosing:
            self.press(selector)
        choosing.value.set_files(file)

    def _on(self, what: Locator) -> None:
        if self.touch:
            what.tap()
        else:
            what.click()


@dataclass(slots=True)
class Keys:
    """The keyboard alone. Where it goes, one must see it."""

    page: Page

    def press(self, selector: str) -> None:
        self._reach(selector).press("Enter")

    def write(self, selector: str, text: str) -> None:
        self._reach(selector)
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)

    def choose(self, selector: str, value: str) -> None:
        """Down the list, from its first line."""
        field = self._reach(selector)
        field.press("Home")
        for _ in range(field.locator("option").count()):
            if field.input_value() == value:
                return
            field.press("ArrowDown")
        raise AssertionError(f"no {value} in {selector}")

    def tick(self, selector: str) -> None:
        """Space on a box; among choices of one name the arrow keys go on."""
        what = self.page.locator(selector).first
        if what.get_attribute("type") != "radio":
            self._reach(selector).press("Space")
            return
        name = what.get_attribute("name")
        group = self.page.locator(f"input[name='{name}']")
        self._reach(f"input[name='{name}']:checked" if group.and_(self.page.locator(":checked")).count() else group)
        for _ in range(group.count() + 1):
            if what.is_checked():
                return
            if what.evaluate(HERE):
                self.page.keyboard.press("Space")
                continue
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"the arrow keys do not come to {selector}")

    def bring(self, selector: str, file: Path) -> None:
        what = self._reach(selector)
        with self.page.expect_file_chooser() as choosing:
            what.press("Enter")
        choosing.value.set_files(file)

    def _reach(self, selector: str | Locator) -> Locator:
        """Go on with Tab until it has the keys; :class:`AssertionError` where it never has, or nobody would see it."""
        all_such = self.page.locator(selector) if isinstance(selector, str) else selector
        what = all_such.first
        what.wait_for(state="attached")
        for _ in range(MOST_STOPS):
            if what.evaluate(HERE):
                assert what.evaluate(RINGED), f"one does not see that {selector} has the keys"
                return what
            self.page.keyboard.press("Tab")
        raise AssertionError(f"the keyboard does not come to {selector}")
