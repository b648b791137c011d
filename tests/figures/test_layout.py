"""Names and numbers are placed without overlap: exact geometry over every press there is and every way to draw it."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest

from figures.trains import bare_press, full_press, two_unit_press
from filmsplit.figures.boxes import Box, box_cut_by
from filmsplit.figures.layout import Layout, Wanted, lay_out
from filmsplit.figures.lines import Tells
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press import Press

OWN = {"full": full_press, "bare": bare_press, "two units": two_unit_press}
NAMES = (*OWN, *demo_presses())
CASES = [(name, tells) for name in NAMES for tells in Tells]


def press_of(name: str) -> Press:
    return OWN[name]() if name in OWN else load(demo_path(name)).press


@cache
def layout_of(name: str, tells: Tells) -> Layout:
    press = press_of(name)
    return lay_out(press, press.units, Wanted(tells, ink_path=True, contacts=True, paper=None))


def shrunk(box: Box) -> Box:
    """Touching is not overlapping."""
    return box.grown(-1e-6)


@pytest.mark.parametrize(("name", "tells"), CASES)
def test_labels_never_overlap(name: str, tells: Tells) -> None:
    rows = [(note, shrunk(box)) for note in layout_of(name, tells).notes for box in note.boxes]
    clashes = [(a.rows, b.rows) for (a, box_a), (b, box_b) in combinations(rows, 2) if box_a.overlaps(box_b)]
    assert not clashes


@pytest.mark.parametrize(("name", "tells"), CASES)
def test_labels_stay_on_the_page(name: str, tells: Tells) -> None:
    layout = layout_of(name, tells)
    page = Box(0.0, 0.0, layout.page.width_mm, layout.page.height_mm)
    assert all(box.within(page) for note in layout.notes for box in note.boxes)


@pytest.mark.parametrize(("name", "tells"), CASES)
def test_no_label_lies_across_a_rim(name: str, tells: Tells) -> None:
    """A label is wholly inside one circle, or wholly outside them all."""
    layout = layout_of(name, tells)
    for note in layout.notes:
        for box in map(shrunk, note.boxes):
            met = [disc for disc in layout.discs if disc.meets(box)]
            assert all(disc.holds(box) for disc in met), note.rows
            assert len(met) <= 1


@pytest.mark.parametrize(("name", "tells"), CASES)
def test_leaders_run_through_no_words(name: str, tells: Tells) -> None:
    notes = layout_of(name, tells).notes
    boxes = [(note, shrunk(box)) for note in notes for box in note.boxes]
    for note in notes:
        if note.leader is not None:
            assert not [other.rows for other, box in boxes if other is not note and box_cut_by(box, *note.leader)]


@pytest.mark.parametrize(("name", "tells"), CASES)
def test_every_roller_is_named_on_the_drawing(name: str, tells: Tells) -> None:
    layout = layout_of(name, tells)
    assert not layout.lost_names
    words = {row.words for note in layout.notes for row in note.rows} | {
        row.lead for note in layout.notes for row in note.rows
    }
    assert {roller.id for unit in press_of(name).units for roller in unit.rollers} <= words


@pytest.mark.parametrize(("name", "tells"), CASES)
def test_every_target_is_drawn_or_written_at_the_foot(name: str, tells: Tells) -> None:
    layout = layout_of(name, tells)
    drawn = sum(row.words.endswith((" M", " D", " S", " P")) for note in layout.notes for row in note.rows)
    assert drawn + len(layout.lost_targets) == sum(len(unit.contacts) for unit in press_of(name).units)
    assert len(layout.lost_targets) <= 2


def test_the_scale_is_the_largest_that_leaves_room() -> None:
    """A smaller paper never gives a larger drawing."""
    press = full_press()
    scales = [
        lay_out(press, press.units, Wanted(Tells.PURPOSE, ink_path=True, contacts=True, paper=paper)).page.scale
        for paper in ("A2", "A3", "A4")
    ]
    assert scales == sorted(scales)
    assert scales[0] < scales[-1]
