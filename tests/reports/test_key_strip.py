"""The key strip: every key at its true place, measured in the finished PDF."""

from __future__ import annotations

from dataclasses import replace
from itertools import accumulate

import pytest

from filmsplit.messages import Refusal
from filmsplit.reports.key_strip import CHECK_MM, MARGIN_MM, TAB_MM, key_strip_pdf, tiles_of
from filmsplit.reports.typeset import Paper
from reports.made_sheets import CODE, WIDTHS_MM, keys, strip
from reports.pages import Page, pages

PAPERS = pytest.mark.parametrize("paper", list(Paper))
BOUND_MM = 0.1
"""How far a key may lie from its true place (this project's own promise)."""
SIZES_MM = {Paper.A4: (297.0, 210.0), Paper.LETTER: (279.4, 215.9)}
"""ISO 216 and ANSI Y14.1, sideways."""


def upright_lines(page: Page) -> list[float]:
    """Places of the tall fine lines between keys, from the page's left side."""
    return sorted({round((x1 + x2) / 2, 2) for x1, y1, x2, y2 in page.boxes_mm if x2 - x1 < 0.5 and 60 < y2 - y1 < 70})


@PAPERS
def test_page_and_check_line(paper: Paper) -> None:
    (page,) = pages(key_strip_pdf(strip(), paper=paper))
    assert page.size_mm == pytest.approx(SIZES_MM[paper], abs=0.05)
    ends = sorted((x1 + x2) / 2 for x1, y1, x2, y2 in page.boxes_mm if x2 - x1 < 0.7 and 5.9 < y2 - y1 < 6.9)
    assert len(ends) == 2, "the two ends of the line to measure"
    assert ends[1] - ends[0] == pytest.approx(CHECK_MM, abs=0.05)


@PAPERS
def test_every_key_stands_at_its_true_place(paper: Paper) -> None:
    (page,) = pages(key_strip_pdf(strip(), paper=paper))
    tiles = tiles_of(keys(), paper=paper)
    expected = {MARGIN_MM + each.left_mm for tile in tiles for each in tile.keys}
    found = upright_lines(page)
    assert all(min(abs(place - line) for line in found) < BOUND_MM for place in expected)
    assert len(found) == len({round(place, 2) for place in expected})


@pytest.mark.parametrize("left", [True, False])
@PAPERS
def test_pieces_put_together_are_the_fountain(paper: Paper, left: bool) -> None:
    tiles = tiles_of(keys(), paper=paper, operator_left=left)
    zones = [each.key.zone for tile in tiles for each in tile.keys]
    assert zones == list(range(1, 11))[:: 1 if left else -1]
    assert sum(tile.length_mm for tile in tiles) == pytest.approx(sum(WIDTHS_MM))
    room = max(paper.size_mm) - 2 * MARGIN_MM - TAB_MM
    for tile in tiles:
        assert tile.length_mm <= room
        starts = list(accumulate((each.key.width_mm for each in tile.keys), initial=0.0))
        assert [each.left_mm for each in tile.keys] == starts[:-1]


def test_words_on_the_strip() -> None:
    (page,) = pages(key_strip_pdf(strip(), paper=Paper.A4))
    for word in ("Operator", "Gear side", "100 mm", CODE, "shut", "3/8", "6 notches", "just closed"):
        assert word in page.text


def test_operator_at_the_right() -> None:
    first = pages(key_strip_pdf(replace(strip(), operator_left=False), paper=Paper.A4))[0].text
    assert first.index("Gear side") < first.index("Operator")


def test_a_long_fountain_takes_more_pages_each_with_its_check_line() -> None:
    many = tuple(replace(keys()[3], zone=zone) for zone in range(1, 25))
    made = pages(key_strip_pdf(replace(strip(), keys=many), paper=Paper.A4))
    assert len(made) == 2
    assert all("100 mm" in page.text for page in made)


def test_a_key_wider_than_the_paper_is_refused() -> None:
    with pytest.raises(Refusal) as refusal:
        tiles_of([replace(keys()[0], width_mm=400.0)], paper=Paper.A4)
    assert [problem.slug for problem in refusal.value.problems] == ["key-strip-too-wide"]
