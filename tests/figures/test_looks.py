"""No class is told by colour only, and everything drawn stands out on paper, in grey as well."""

from __future__ import annotations

from itertools import combinations

import pytest

from filmsplit.figures import drawing
from filmsplit.figures.classes import BANDS, CONTACTS, DRIVES, FILLS, MOTIONS, OUTLINES, TABLES
from filmsplit.messages import label
from filmsplit.press.makeup import MakeUp
from filmsplit.press.words import ContactKind, DriveKind, MotionKind, Role, System

LEAST_LINE_CONTRAST = 3.0
"""Graphics against their ground: WCAG 2.2, success criterion 1.4.11."""
LEAST_LETTER_CONTRAST = 4.5
"""Text against its ground: WCAG 2.2, success criterion 1.4.3."""


@pytest.mark.parametrize("table", TABLES)
def test_no_two_classes_differ_by_colour_only(table: str) -> None:
    for (a, look_a), (b, look_b) in combinations(TABLES[table].items(), 2):
        assert look_a.grey_signature != look_b.grey_signature, f"{a} and {b} look alike without colour"


@pytest.mark.parametrize("table", TABLES)
def test_no_two_classes_have_the_same_words(table: str) -> None:
    words = [label(look.words) for look in TABLES[table].values()]
    assert len(set(words)) == len(words)


def test_every_word_of_the_press_description_has_its_look() -> None:
    pairs = ((System, OUTLINES), (Role, FILLS), (MakeUp, BANDS), (DriveKind, DRIVES), (MotionKind, MOTIONS))
    for words, table in (*pairs, (ContactKind, CONTACTS)):
        assert set(words) == set(table)


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(a: str, b: str) -> float:
    lighter, darker = sorted((luminance(a), luminance(b)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_contrast_formula_gives_its_known_ends() -> None:
    """Black on white is 21:1 by the definition in WCAG 2.2; the grey #767676 is its usual 4.5:1 example."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


def grey_value(colour: str) -> float:
    """What a grey copier makes of a colour, 0 black to 255 white (luma of ITU-R BT.601)."""
    parts = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    return sum(weight * part for weight, part in zip((0.299, 0.587, 0.114), parts, strict=True))


@pytest.mark.parametrize("table", TABLES)
def test_every_look_stands_out_in_grey(table: str) -> None:
    """Against white, and on the black side of a copier's mid grey."""
    for look in TABLES[table].values():
        assert contrast(look.colour, drawing.PAPER) >= LEAST_LINE_CONTRAST
        assert grey_value(look.colour) < 128


def test_letters_and_faint_lines_stand_out() -> None:
    assert contrast(drawing.INK, drawing.PAPER) >= LEAST_LETTER_CONTRAST
    assert contrast(drawing.FAINT, drawing.PAPER) >= LEAST_LINE_CONTRAST
