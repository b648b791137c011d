"""The set-up sheet on the table: every field on it, nothing over anything, black, large enough, never ticked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np
import pytest

from filmsplit.figures.drawing import Drawing, finish, text
from filmsplit.procedures.gate import Passage
from filmsplit.reports.key_strip import key_strip_pdf
from filmsplit.reports.keys import KeyOnPaper
from filmsplit.reports.setup_pdf import setup_pdf
from filmsplit.reports.setup_sheet import SetupSheet
from filmsplit.reports.typeset import Paper
from filmsplit.setup.quantity import InkNeed
from reports.made_sheets import full_sheet, keys, strip
from reports.pages import DOTS_PER_MM, Page, dots, pages
from reports.sheet_cases import CASES, gold_file, pages_of, pdf_of, text_of

EVERY = pytest.mark.parametrize(("name", "paper"), CASES)
BODY_PT, DRAWING_PT = 9.0, 8.0
"""What can be read at arm's length in a pressroom (common practice: nothing under 8 pt, working text larger)."""
UNPRINTED_MM = 6.0
"""What ordinary office printers leave white is 4 to 6 mm (common practice)."""
TICK_MM = 4.6 + 2 * 0.9 * 25.4 / 72
"""A box to tick with its line of 0.9 pt, as wide as the measuring program takes it: a whole line more on each side."""


@EVERY
def test_text_of_every_page(name: str, paper: Paper) -> None:
    """Gold texts: remade by ``python tests/reports/make_gold.py``, and read before they are kept."""
    assert text_of(name, paper) == gold_file(name, paper).read_text(encoding="utf-8")


@EVERY
def test_nothing_lies_over_anything(name: str, paper: Paper) -> None:
    for page in pages_of(name, paper):
        assert page.overlapping() == []
        assert page.crossed() == []


@EVERY
def test_nothing_is_cut(name: str, paper: Paper) -> None:
    width, height = paper.size_mm
    for page in pages_of(name, paper):
        boxes = [*page.boxes_mm, *(glyph.box_mm for glyph in page.glyphs)]
        for left, bottom, right, top in boxes:
            assert min(left, bottom, width - right, height - top) >= UNPRINTED_MM


@EVERY
def test_letters_are_large_enough(name: str, paper: Paper) -> None:
    """Only the number and the percent of a zone on the drawing of the plate may be a little smaller."""
    for page in pages_of(name, paper):
        small = [(size, said) for size, said in page.sizes_pt if size < BODY_PT - 0.01]
        drawn = "What lies where" in page.text
        assert [said for size, said in small if size < DRAWING_PT or not (drawn and said.isdecimal())] == []


def test_a_drawing_on_paper_keeps_its_size() -> None:
    """A drawing as wide as the page is not made smaller: its letters come out as they were drawn."""
    words = text("letters", (10.0, 10.0), size=DRAWING_PT * 25.4 / 72)
    drawn = finish([words], size_mm=(182.0, 20.0), title="a", alt="a")
    for paper in Paper:
        made = pages(setup_pdf(replace(full_sheet(), place=drawn, procedures=()), paper=paper))
        small = {round(size, 2) for page in made for size, _ in page.sizes_pt if size < BODY_PT - 0.01}
        assert list(small) == pytest.approx([DRAWING_PT], abs=0.02), "SVG rounds to a hundredth of a millimetre"


def test_a_drawing_too_large_for_the_paper_is_not_cut() -> None:
    corners = [text("m", at, size=40.0) for at in ((0.0, 50.0), (265.0, 50.0), (0.0, 395.0), (265.0, 395.0))]
    for size in ((300.0, 400.0), (300.0, 1200.0)):
        drawn = finish(corners, size_mm=size, title="a", alt="a")
        for paper in Paper:
            width, height = paper.size_mm
            made = pages(setup_pdf(replace(full_sheet(), place=drawn, procedures=()), paper=paper))
            (page,) = [page for page in made if "What lies where" in page.text]
            found = [glyph.box_mm for glyph in page.glyphs if glyph.sign == "m"]
            boxes = [box for box in found if box[3] - box[1] > 5 * drawn.width_mm / drawn.height_mm]
            assert len(boxes) == 4
            assert min(min(box[0], box[1], width - box[2], height - box[3]) for box in boxes) >= UNPRINTED_MM


@EVERY
def test_black_only(name: str, paper: Paper) -> None:
    for page in dots(pdf_of(name, paper)):
        assert int(np.ptp(page.astype(int), axis=2).max()) == 0


@EVERY
def test_no_box_is_ticked(name: str, paper: Paper) -> None:
    """Every box to tick is white inside, and the first page has the eight of the gate."""
    found = 0
    for number, (page, seen) in enumerate(zip(pages_of(name, paper), dots(pdf_of(name, paper)), strict=True)):
        boxes = list(_boxes_to_tick(page))
        found = len(boxes) if number == 0 else found
        for left, bottom, right, top in boxes:
            rows = slice(_dots(page.size_mm[1] - top + 0.9), _dots(page.size_mm[1] - bottom - 0.9))
            inside = seen[rows, _dots(left + 0.9) : _dots(right - 0.9)]
            assert inside.size
            assert inside.min() == 255
    assert found == 8


def _dots(mm: float) -> int:
    return round(mm * DOTS_PER_MM)


def _boxes_to_tick(page: Page) -> Iterator[tuple[float, float, float, float]]:
    for left, bottom, right, top in page.closed_mm:
        if (right - left, top - bottom) == pytest.approx((TICK_MM, TICK_MM), abs=0.02):
            yield left, bottom, right, top


@EVERY
def test_the_gate_stands_above_all_else(name: str, paper: Paper) -> None:
    first = pages_of(name, paper)[0]
    lowest = min(bottom for _, bottom, _, _ in _boxes_to_tick(first))
    at = first.text.index("Set\n")
    assert first.text.index("Before anything at the press") < at
    assert lowest > first.size_mm[1] / 2


def slim_sheet() -> SetupSheet:
    """Every field filled and few steps."""
    full = full_sheet()
    done = full.procedures[1]
    return replace(full, keys=full.keys[:3], procedures=(replace(done, passages=done.passages[:1]),))


def changed(value: Any, *, name: str) -> Any:
    """Another value of the same kind, one that no sheet has by chance."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, str):
        return f"{value} otherwise"
    if isinstance(value, int | float):
        return value + 1 if value >= 1 else value / 2 + 0.3
    if isinstance(value, Drawing):
        return replace(value, alt=f"{value.alt} otherwise", svg=value.svg.replace("</svg>", f"{_MORE}</svg>"))
    if value is None:
        return {"judge_key": 7}[name]
    return (*value[:-1], f"{value[-1]} otherwise")


_MORE = text("otherwise", (20.0, 20.0), size=3.2)


def variants(thing: Any, *, at: str = "") -> Iterator[tuple[str, Any]]:
    """The dataclass with each field changed alone, fields of its parts too."""
    for field in fields(thing):
        value, name = getattr(thing, field.name), f"{at}{field.name}"
        if isinstance(value, tuple) and value and is_dataclass(value[-1]):
            parts = () if isinstance(value[-1], Passage) else variants(value[-1], at=f"{name}.")
            for each, part in parts:
                yield each, replace(thing, **{field.name: (*value[:-1], part)})
            yield f"{name}, one fewer", replace(thing, **{field.name: value[:-1]})
        elif is_dataclass(value) and not isinstance(value, Drawing):
            for each, part in variants(value, at=f"{name}."):
                yield each, replace(thing, **{field.name: part})
        else:
            yield name, replace(thing, **{field.name: changed(value, name=field.name)})


def seen_on(sheet: SetupSheet) -> list[tuple[str, tuple[tuple[float, ...], ...]]]:
    made = pages(setup_pdf(sheet, paper=Paper.A4))
    return [(page.text, tuple(tuple(round(edge, 1) for edge in box) for box in page.boxes_mm)) for page in made]


NOT_ON_THE_SHEET = {"keys.width_mm"}
"""Stands on the key strip only, at its true size."""


def test_every_field_changes_the_paper() -> None:
    """A field that is never printed would be a field nobody needs, or a page that keeps something back."""
    plain = seen_on(slim_sheet())
    names = []
    for name, sheet in variants(slim_sheet()):
        names.append(name.split(".")[0].split(",")[0])
        assert (seen_on(sheet) == plain) is (name in NOT_ON_THE_SHEET), name
    assert set(names) == {field.name for field in fields(SetupSheet)}


def test_the_strip_has_what_the_sheet_has_not() -> None:
    made = strip()
    wide = replace(made, keys=(*made.keys[:-1], replace(made.keys[-1], width_mm=20.0)))
    first, second = (pages(key_strip_pdf(each, paper=Paper.A4))[0].boxes_mm for each in (made, wide))
    assert first != second


def test_a_block_without_anything_to_say_is_not_there() -> None:
    full = slim_sheet()
    headings = {
        "washes": "Before this ink", "start": "First and last sheets", "unreached": "Not reached, and the ways out",
        "standing": "Where ink stays long on the rollers", "last_time": "Last time", "work": "What the plate was read",
        "place": "What lies where", "curve": "How the sheets come", "warnings": "Cautions",
        "procedures": "Steps for this press", "limits": "What the figures leave out", "aim": "Aim", "passes": "Pass ",
        "assumptions": "Taken because nobody said", "ink_need": "Ink to have at hand",
    }  # fmt: skip
    whole = " ".join(page.text for page in pages(setup_pdf(full, paper=Paper.A4)))
    for name, heading in headings.items():
        value = getattr(full, name)
        empty = None if value is None or isinstance(value, Drawing | InkNeed) else type(value)()
        said = " ".join(page.text for page in pages(setup_pdf(replace(full, **{name: empty}), paper=Paper.A4)))
        assert heading in whole
        assert heading not in said, name


@pytest.mark.parametrize(
    ("part", "said"), [(0.0, "0 %"), (0.004, "0.4 %"), (0.0994, "9.9 %"), (0.0996, "10 %"), (1.0, "100 %")]
)
def test_coverage_in_percent(part: float, said: str) -> None:
    """Tenths where they count: a letterhead lives under five percent."""
    key: KeyOnPaper = replace(keys()[3], coverage=part)
    (page, *_) = pages(setup_pdf(replace(slim_sheet(), keys=(key,)), paper=Paper.A4))
    assert f"\n{said}\n" in page.text.replace("\u00a0", " ")
