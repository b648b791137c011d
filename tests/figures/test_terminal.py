"""The train in a terminal: fits, names everything, plain where it must be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from figures.trains import full_press, two_unit_press
from filmsplit.figures.terminal import MOST_ROWS, draw_in_terminal
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press import Press

PRESSES = ("full", *demo_presses())
BRAILLE = range(0x2800, 0x2900)


def press_of(name: str) -> Press:
    return full_press() if name == "full" else load(demo_path(name)).press


@pytest.mark.parametrize("plain", [False, True])
@pytest.mark.parametrize("columns", [40, 80, 132])
@pytest.mark.parametrize("name", PRESSES)
def test_it_fits_and_names_every_roller(name: str, columns: int, plain: bool) -> None:
    press = press_of(name)
    lines = draw_in_terminal(press, columns=columns, plain=plain)
    assert max(map(len, lines)) <= columns
    assert len(lines) <= len(press.units) * (MOST_ROWS + 12)
    shown = "\n".join(lines)
    assert all(roller.id in shown for unit in press.units for roller in unit.rollers)


@pytest.mark.parametrize("name", PRESSES)
def test_plain_is_ascii_and_the_other_draws_in_braille(name: str) -> None:
    plain = "\n".join(draw_in_terminal(press_of(name), columns=80, plain=True))
    assert plain.isascii()
    fine = "".join(draw_in_terminal(press_of(name), columns=80, plain=False))
    assert sum(ord(letter) in BRAILLE for letter in fine) > 100


def test_turns_are_told_and_opposite_in_contact() -> None:
    shown = "\n".join(draw_in_terminal(full_press(), columns=110, plain=False))
    assert "plate↻" in shown
    assert "blanket↺" in shown


def test_systems_differ_without_colour() -> None:
    """Ink, dampening and shared rollers have three different rims in plain characters too."""
    shown = "\n".join(draw_in_terminal(full_press(), columns=110, plain=True)[:-3])
    assert "ooo" in shown
    assert "..." in shown
    assert "+" in shown


def test_units_stand_under_one_another() -> None:
    lines = draw_in_terminal(two_unit_press(), columns=80, plain=True)
    assert [line for line in lines if line in ("Unit A", "Unit B")] == ["Unit A", "Unit B"]


def test_accents_are_dropped_not_the_letter() -> None:
    press = two_unit_press()
    named = replace(press, units=(replace(press.units[0], name="Werk für Öl"), press.units[1]))
    assert draw_in_terminal(named, columns=80, plain=True)[0] == "Werk fur Ol"
