"""The scale card, measured in the finished PDF by another program than the one that made it."""

from __future__ import annotations

import pytest

from filmsplit.reports.scale_card import scale_card_pdf
from filmsplit.reports.typeset import Paper
from reports.pages import pages

PAPERS = pytest.mark.parametrize("paper", list(Paper))
SIZES_MM = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}
"""ISO 216 and ANSI Y14.1."""


@PAPERS
def test_three_cards_on_one_page_true_to_size(paper: Paper) -> None:
    (page,) = pages(scale_card_pdf(paper=paper))
    assert page.size_mm == pytest.approx(SIZES_MM[paper], abs=0.05)
    sizes = [(x2 - x1, y2 - y1) for x1, y1, x2, y2 in page.boxes_mm]
    assert sum(abs(w - 150) < 0.3 and abs(h - 42) < 0.3 for w, h in sizes) == 3
    assert sum(abs(w - 11) < 0.02 and abs(h - 11) < 0.02 for w, h in sizes) == 3 * 6, "the discs"
    assert sum(abs(w - 1.9) < 0.02 and abs(h - 1.9) < 0.02 for w, h in sizes) == 3 * (1 + 2 + 3 + 4 + 5 + 6), (
        "their holes"
    )


@PAPERS
def test_the_line_to_measure_is_100_mm_long(paper: Paper) -> None:
    (page,) = pages(scale_card_pdf(paper=paper))
    ends = sorted(((x1 + x2) / 2, y1) for x1, y1, x2, y2 in page.boxes_mm if x2 - x1 < 0.8 and 3.9 < y2 - y1 < 4.8)
    assert len(ends) == 6
    assert {round(right - left, 2) for (left, _), (right, _) in zip(ends[:3], ends[3:], strict=True)} == {100.0}


def test_every_card_names_its_place_and_how_it_lies() -> None:
    (page,) = pages(scale_card_pdf(paper=Paper.A4))
    for words in ("Operator's side", "Middle", "Gear side", "100 mm", "along the stripe", "100 %"):
        assert words in page.text
