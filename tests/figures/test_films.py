"""The train with its films: every arc has its band and its number, nothing lies on anything else."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

import pytest

from figures.film_cases import UNITS, answers_for, unit_of
from filmsplit.figures.boxes import Box, box_cut_by
from filmsplit.figures.film_bands import LEAST_MM, MOST_MM, BandScale, scale_for
from filmsplit.figures.film_layout import Asked, FilmLayout, arrow_inset, lay_out_films, samples_um, two_figures
from filmsplit.figures.films import INK_FEED, draw_films
from filmsplit.figures.members import gap_spots, turn_arrow_spots_at
from filmsplit.figures.raster import to_png
from filmsplit.simulation import from_press

SVG = "{http://www.w3.org/2000/svg}"
CASES = pytest.mark.parametrize(("name", "unit"), UNITS)


@cache
def layout_of(name: str, unit: str) -> FilmLayout:
    return lay_out_films(*unit_of(name, unit), Asked(answers_for(name, unit).arcs, INK_FEED, 1.0))


def boxes_of(layout: FilmLayout) -> list[Box]:
    notes = [*layout.notes, *(note for _, note in layout.numbers)]
    return [box.grown(-1e-6) for note in notes for box in note.boxes]


def test_the_feed_has_the_name_the_simulation_gives_it() -> None:
    assert INK_FEED == from_press.INK_FEED


@CASES
def test_every_arc_has_its_band_and_its_number(name: str, unit: str) -> None:
    layout, arcs = layout_of(name, unit), answers_for(name, unit).arcs
    assert len(layout.bands) == sum(arc.length_mm > 0 for arc in arcs)
    assert not layout.lost
    shown = sorted(note.rows[0].words for _, note in layout.numbers)
    assert shown == sorted(two_figures(arc.film_um) for arc in arcs if arc.length_mm > 0)


@CASES
def test_words_never_overlap_and_stay_on_the_page(name: str, unit: str) -> None:
    layout = layout_of(name, unit)
    boxes = boxes_of(layout)
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]
    page = Box(0.0, 0.0, layout.page.width_mm, layout.page.height_mm)
    assert all(box.within(page) for box in boxes)


@CASES
def test_no_number_lies_on_a_band_or_across_a_rim(name: str, unit: str) -> None:
    layout = layout_of(name, unit)
    bodies = [body for id, body in layout.stage.bodies.items() if id != "impression"]
    for _, note in layout.numbers:
        box = note.box.grown(-1e-6)
        for band in layout.bands:
            assert not any(box_cut_by(box, *side) for side in zip(band.inner, band.outer, strict=True))
            assert not any(box_cut_by(box, *side) for side in pairwise(band.outer)), (band.body.id, note.rows)
        for body in bodies:
            corners = [(x, y) for x in (box.left, box.right) for y in (box.top, box.bottom)]
            far = [math.dist(corner, (body.x, body.y)) for corner in corners]
            near = math.dist(box.nearest((body.x, body.y)), (body.x, body.y))
            assert max(far) <= body.r or near >= body.r


@CASES
def test_no_word_lies_on_a_turn_arrow_or_a_gap(name: str, unit: str) -> None:
    layout = layout_of(name, unit)
    boxes = boxes_of(layout)
    for body in layout.stage.bodies.values():
        if body.id != "impression":
            arrow = turn_arrow_spots_at(body, arrow_inset(body), steps=20)
            edge = gap_spots(body, layout.gaps[body.id]) if body.id in layout.gaps else []
            pieces = [*pairwise(arrow), *pairwise(edge)]
            assert not [box for box in boxes for piece in pieces if box_cut_by(box, *piece)]


@CASES
def test_a_leader_runs_through_no_words(name: str, unit: str) -> None:
    layout = layout_of(name, unit)
    for _, note in layout.numbers:
        if note.leader is not None:
            others = [box for box in boxes_of(layout) if not box.overlaps(note.box)]
            assert not any(box_cut_by(box, *note.leader) for box in others)


@CASES
def test_bands_lie_outside_every_member_and_off_each_other(name: str, unit: str) -> None:
    """No point of a band is nearer to another member's surface than to its own: so no two bands meet."""
    layout = layout_of(name, unit)
    for band in layout.bands:
        for x, y in band.outer:
            own = math.dist((x, y), (band.body.x, band.body.y)) - band.body.r
            assert own <= band.thickness_mm + 1e-9
            for other in layout.stage.bodies.values():
                if other is not band.body and own > 1e-9:
                    assert own <= math.dist((x, y), (other.x, other.y)) - other.r + 1e-6


@CASES
def test_a_band_with_room_is_as_thick_as_its_film_says(name: str, unit: str) -> None:
    """Measured on the outline: full where no other surface is within twice the thickness."""
    layout = layout_of(name, unit)
    met = 0
    for band in layout.bands:
        assert band.thickness_mm == layout.scale.thickness_mm(band.film_um)
        for inner, outer in zip(band.inner, band.outer, strict=True):
            others = [body for body in layout.stage.bodies.values() if body is not band.body]
            free = min(math.dist(outer, (body.x, body.y)) - body.r for body in others)
            if free > band.thickness_mm and math.dist(inner, outer) > 0:
                assert math.dist(inner, outer) == pytest.approx(band.thickness_mm)
                met += 1
    assert met > 20 * len({band.body.id for band in layout.bands})


@CASES
def test_arcs_are_as_long_on_paper_as_in_the_answer(name: str, unit: str) -> None:
    """The drawing knows angles, the answer whole cells of 6 mm: two cells, and what loose nips move."""
    layout = layout_of(name, unit)
    lengths: dict[str, list[float]] = {}
    for arc in answers_for(name, unit).arcs:
        lengths.setdefault(arc.loop, []).append(arc.length_mm)
    drawn: dict[str, list[float]] = {}
    for band in layout.bands:
        drawn.setdefault(band.body.id, []).append(band.length_mm * layout.stage.scale)
    for loop, found in drawn.items():
        whole = math.pi * layout.stage.bodies[loop].member.diameter_mm
        assert sum(found) == pytest.approx(whole, rel=1e-6)
        assert sorted(found) == pytest.approx(sorted(lengths[loop]), abs=0.03 * whole + 12.5)


@pytest.mark.parametrize("root", [False, True])
def test_thickness_never_falls_as_the_film_grows(root: bool) -> None:
    scale = BandScale(30.0, root=root)
    drawn = [scale.thickness_mm(0.01 * k) for k in range(3001)]
    assert drawn == sorted(drawn)
    assert drawn[0] == 0
    assert drawn[1] >= LEAST_MM
    assert drawn[-1] == MOST_MM


def test_the_law_is_the_one_in_the_legend() -> None:
    """By hand: half the film, half the band; on the root scale a quarter of the film."""
    assert scale_for([1.0, 10.0]).thickness_mm(5.0) == pytest.approx(MOST_MM / 2)
    assert scale_for([0.1, 10.0]).root
    assert scale_for([0.1, 10.0]).thickness_mm(2.5) == pytest.approx(MOST_MM / 2)


@pytest.mark.parametrize("most", [0.013, 0.9, 1.0, 2.1, 7.0, 49.0, 120.0])
@pytest.mark.parametrize("root", [False, True])
def test_the_legend_shows_round_films_within_the_scale(most: float, root: bool) -> None:
    shown = samples_um(BandScale(most, root=root))
    assert 1 <= len(shown) <= 3
    assert shown == sorted(set(shown))
    assert most / 2.6 <= shown[-1] <= most


def test_two_figures_are_two_figures() -> None:
    numbers = (0.0, 0.0123, 0.0996, 0.285, 0.995, 3.0, 9.96, 12.4, 123.0)
    assert [two_figures(n) for n in numbers] == ["0", "0.012", "0.10", "0.28", "0.99", "3.0", "10", "12", "120"]


def test_the_drawing_is_a_picture_with_the_given_numbers() -> None:
    press, unit = unit_of("heron", "A")
    arcs = answers_for("heron", "A").arcs
    drawing = draw_films(press, unit, arcs, sheet_um=1.234)
    root = ET.fromstring(drawing.svg)
    shown = [node.text or "" for node in root.iter(f"{SVG}text")]
    assert "sheet: 1.2 µm" in shown
    assert all(two_figures(arc.film_um) in shown for arc in arcs)
    assert all(f"{arc.loop} from {arc.start} to {arc.end}" in drawing.alt for arc in arcs)
    assert to_png(drawing, width_px=400).startswith(b"\x89PNG")


def test_films_far_apart_are_drawn_by_the_root_and_say_so() -> None:
    press, unit = unit_of("heron", "A")
    arcs = answers_for("heron", "A").arcs
    wide = [replace(arcs[0], film_um=400.0), *arcs[1:]]
    assert "four times as thick" in draw_films(press, unit, wide).svg
    assert "four times as thick" not in draw_films(press, unit, arcs).svg


def test_no_film_gives_no_band_and_what_is_no_film_is_refused() -> None:
    press, unit = unit_of("heron", "A")
    arcs = answers_for("heron", "A").arcs
    empty = lay_out_films(press, unit, Asked([replace(arc, film_um=0.0) for arc in arcs], INK_FEED))
    assert {band.thickness_mm for band in empty.bands} == {0.0}
    assert {note.rows[0].words for _, note in empty.numbers} == {"0"}
    for bad in (math.nan, -1.0, math.inf):
        with pytest.raises(ValueError, match="number"):
            draw_films(press, unit, [replace(arcs[0], film_um=bad)])
    with pytest.raises(ValueError, match="no films"):
        draw_films(press, unit, [])
