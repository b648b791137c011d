"""From an empty workshop to a press that can be used, by form alone; every page on the way looked at as any other is.

At the size of a tablet: that is what lies on the feed board while somebody measures a train.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browser.chromium import DESK, LIGHTS, PHONE, TABLET, Screen
from browser.looking import Eyes, eyes
from browser.served import serving
from filmsplit.formats.press_file import load
from filmsplit.messages import label

ROLLERS = (
    ("F1", "form", "-40", "97", "unknown", "plate", ""),
    ("D1", "drum", "-45", "152", "none", "F1", ""),
    ("R1", "distributor", "-45", "204", "unknown", "D1", ""),
    ("S", "fountain", "20", "277", "none", "", ""),
    ("Q", "ductor", "-18", "241", "unknown", "S", "R1"),
)
"""Id, role, centre, cover, and what it touches: a train from fountain to plate, made up."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path


@pytest.fixture
def shop(folder: Path) -> Iterator[str]:
    with serving(folder) as address:
        yield address


def sent(seeing: Eyes) -> list[str]:
    with seeing.page.expect_navigation(wait_until="load"):
        seeing.page.click("button.main")
    return looked(seeing)


def looked(seeing: Eyes) -> list[str]:
    """What falls short; the browser's own word for a form that was sent back is no fault."""
    return [each for each in seeing.wrong() if "422" not in each]


def go(seeing: Eyes, name: str) -> None:
    with seeing.page.expect_navigation(wait_until="load"):
        seeing.page.get_by_role("link", name=name).click()


def fill(seeing: Eyes, name: str, value: str) -> None:
    field = seeing.page.locator(f'[name="{name}"]').first
    if field.evaluate("each => each.tagName") == "SELECT":
        field.select_option(value)
    else:
        field.fill(value)


@pytest.mark.parametrize(("screen", "light"), [(TABLET, "light"), (PHONE, "dark"), (DESK, "light")], ids=str)
def test_a_small_press_by_form(chromium: Browser, folder: Path, shop: str, *, screen: Screen, light: str) -> None:
    assert light in LIGHTS
    with eyes(chromium, shop, screen=screen, light=light) as seeing:
        page = seeing.page
        seeing.go("/presses")
        go(seeing, label("web_edit.new"))
        wrong = [looked(seeing), sent(seeing)]
        assert page.locator("#p-code").count() == 1
        for name, value in (("code", "wren"), ("name", "Wren"), ("plate_turns", "clockwise")):
            fill(seeing, name, value)
        wrong.append(sent(seeing))
        go(seeing, label("web_edit_kind.cylinders"))
        fill(seeing, "plate.body_diameter_mm", "1600000")
        wrong.append(sent(seeing))
        assert page.locator('[id="p-plate.body_diameter_mm"]').count() == 1
        fill(seeing, "plate.body_diameter_mm", "160")
        wrong.append(sent(seeing))
        for id, role, x, y, cover, *touches in ROLLERS:
            go(seeing, label("web_edit_kind.new-roller"))
            said = {"id": id, "role": role, "centre.x_mm": x, "centre.y_mm": y, "cover": cover}
            for name, value in {**said, "touches_1": touches[0], "touches_2": touches[1]}.items():
                fill(seeing, name, value)
            wrong.append(sent(seeing))
        go(seeing, label("web_edit_kind.fountain"))
        fill(seeing, "roller", "S")
        fill(seeing, "zone_widths_mm", "10x32")
        wrong.append(sent(seeing))
        assert page.get_by_text(label("web_edit.usable")).count() == 1
        with page.expect_navigation(wait_until="load"):
            page.get_by_role("button", name=label("web_edit.undo")).click()
        wrong.append(looked(seeing))
    assert [each for each in wrong if each] == []
    press = load(folder / "presses" / "wren.yaml").press
    assert [each.id for each in press.units[0].rollers] == [each[0] for each in ROLLERS]
    assert press.units[0].fountain is None, "undone"
