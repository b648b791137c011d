"""Labels of rollers: every roller has one, with its mark and code, at the size it is cut out."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pytest

from filmsplit.reports.roller_labels import HEIGHT_MM, WIDTH_MM, RollerLabel, roller_labels_pdf
from filmsplit.reports.typeset import Paper
from reports.pages import pages

FULL = RollerLabel(
    mark="heron-F1",
    code="K7Q2-M9X4",
    role="form",
    place="heron:A.F1",
    facts=(
        ("as drawn", "Ø 54 × 340 mm"),
        ("cover", "nitrile-PVC rubber, 9.5 mm"),
        ("ordered", "27 Shore A"),
        ("arrived at", "26.5 Shore A"),
        ("made", "2029-Q3"),
        ("drawing", "12345-678 / rev. C"),
        ("colour", "green"),
    ),
    invented=True,
)
BARE = RollerLabel(mark="W" * 40, code="0000-0000", role="", place="", facts=(), invented=False)


def labels(count: int) -> Sequence[RollerLabel]:
    return [FULL, BARE] * (count // 2) + [FULL] * (count % 2)


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize(("count", "sheets"), [(1, 1), (10, 1), (11, 2)])
def test_ten_to_a_page_each_at_its_size(paper: Paper, count: int, sheets: int) -> None:
    found = pages(roller_labels_pdf(labels(count), paper=paper))
    assert len(found) == sheets
    assert [page.size_mm for page in found] == [pytest.approx(paper.size_mm, abs=0.1)] * sheets
    wanted = pytest.approx((WIDTH_MM, HEIGHT_MM), abs=0.3)
    frames = [box for page in found for box in page.closed_mm if _size(box) == wanted]
    assert len({tuple(round(edge) for edge in box) for box in frames}) == min(count, 10)
    assert min(box[0] for box in frames) > 8, "clear of what office printers leave white"


def _size(box: tuple[float, float, float, float]) -> tuple[float, float]:
    return box[2] - box[0], box[3] - box[1]


def test_the_label_says_all_that_is_known() -> None:
    (page,) = pages(roller_labels_pdf([FULL], paper=Paper.A4))
    text = re.sub(r"\s+", " ", page.text)
    facts = [part for fact in FULL.facts for part in fact]
    for said in (FULL.mark, FULL.code, FULL.role, FULL.place, "(invented)", *facts):
        assert said in text
    assert "never on the face" in text


def test_nothing_lies_over_anything() -> None:
    (page,) = pages(roller_labels_pdf([FULL, BARE], paper=Paper.A4))
    assert page.overlapping() == []
    assert page.crossed() == []
    inside = [glyph for glyph in page.glyphs if glyph.sign == "W"]
    assert len(inside) == 40, "the longest mark is whole"
    assert max(glyph.box_mm[2] for glyph in inside) < page.size_mm[0] / 2 + WIDTH_MM - 20, "and clear of the code"
