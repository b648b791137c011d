"""Start-up and profiles: the given numbers at the given places, and no sense made of nonsense."""

from __future__ import annotations

import math
from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

import pytest

from filmsplit.figures.axes import linear_axis, log_axis, round_ticks, thinned, tick_words
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.heading import Subject
from filmsplit.figures.profiles import Profile, Zones, draw_profiles, panels_of
from filmsplit.figures.raster import to_png
from filmsplit.figures.start_up import Course, draw_start_up, marked, place_marks, plot_of
from filmsplit.figures.terminal_chart import ROWS, profile_in_terminal, start_up_in_terminal

SVG = "{http://www.w3.org/2000/svg}"
SUBJECT = Subject("Small press", invented=True)
NAN = math.nan


def course(tau: float = 10.0, sheets: int = 60, *, name: str = "") -> Course:
    """An exponential: 63 % and 95 % are reached after one and three time constants (1 - 1/e, 1 - 1/e^3)."""
    films = [1 - math.exp(-n / tau) for n in range(1, sheets + 1)]
    return Course(name=name, sheets_um=films, settled_um=1.0, sheets_63=round(tau), sheets_95=round(3 * tau))


def texts(drawing: Drawing) -> list[str]:
    return [node.text or "" for node in ET.fromstring(drawing.svg).iter(f"{SVG}text")]


@pytest.mark.parametrize(("low", "high"), [(0, 1), (0, 0.97), (0.93, 1.04), (-3, 7), (5, 5), (0, 0), (1e-6, 3e-6)])
def test_ticks_are_round_even_and_span_the_values(low: float, high: float) -> None:
    ticks = round_ticks(low, high)
    steps = [b - a for a, b in pairwise(ticks)]
    assert ticks[0] <= low
    assert ticks[-1] >= high
    assert 1 <= len(steps) <= 8
    assert steps == pytest.approx([steps[0]] * len(steps))
    mantissa = steps[0] / 10 ** math.floor(math.log10(steps[0]) + 1e-9)
    assert min(abs(mantissa - part) for part in (1, 2, 2.5, 5, 10)) < 1e-6


@pytest.mark.parametrize(("low", "high"), [(NAN, 1), (0, math.inf), (2, 1)])
def test_an_axis_without_ends_is_refused(low: float, high: float) -> None:
    with pytest.raises(ValueError, match="axis"):
        round_ticks(low, high)


def test_axes_put_values_where_they_belong() -> None:
    assert linear_axis("", 0, 10).part(5) == pytest.approx(0.5)
    assert log_axis("", 1, 100).part(10) == pytest.approx(0.5)
    assert log_axis("", 1, 100).ticks == (1, 2, 5, 10, 20, 50, 100)
    assert tick_words((0.0, 0.25, 0.5)) == ["0.00", "0.25", "0.50"]


def test_thinning_keeps_peaks() -> None:
    points = [(0.001 * k, 1.0 if k == 777 else 0.0) for k in range(2000)]
    kept = thinned(points)
    assert len(kept) < 60
    assert (0.777, 1.0) in kept
    assert kept == sorted(kept)


@pytest.mark.parametrize(
    "courses", [(course(),), (course(200.0, 900, name="light"), course(4.0, 900, name="heavy")), (course(1.0, 2),)]
)
def test_start_up_marks_the_given_sheets(courses: tuple[Course, ...]) -> None:
    drawing = draw_start_up(SUBJECT, courses)
    assert to_png(drawing, width_px=300).startswith(b"\x89PNG")
    said = " ".join(texts(drawing))
    for each in courses:
        assert f"63 % at sheet {each.sheets_63}" in said
        assert each.name in said
    plot = plot_of(courses, top=30.0)
    for at, percent, sheet in marked(plot, courses):
        assert at[0] == pytest.approx(plot.at(sheet, plot.y.low)[0])
        if len(courses) > 1:
            assert (plot.box.bottom - at[1]) / (plot.box.bottom - plot.box.top) == pytest.approx(
                percent / 100, abs=0.05
            )
    boxes = [box.grown(-1e-6) for _, box in place_marks(plot, courses)]
    assert all(box.within(plot.box) for box in boxes)
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]


def test_a_logarithmic_scale_is_stated() -> None:
    slow, quick = course(200.0, 900), course(4.0, 900)
    assert any("logarithmic" in words for words in texts(draw_start_up(SUBJECT, [slow, quick])))
    assert not any("logarithmic" in words for words in texts(draw_start_up(SUBJECT, [course()])))


def test_courses_differ_in_their_dashes_and_what_is_not_reached_is_said() -> None:
    many = [course(5.0 * k, name=f"run {k}") for k in (1, 2, 3, 4)]
    root = ET.fromstring(draw_start_up(SUBJECT, many).svg)
    heavy = {node.get("stroke-dasharray") for node in root.iter(f"{SVG}path") if node.get("stroke-width") == "0.5"}
    assert len(heavy) == 4
    lost = Course(name="", sheets_um=[0.1, 0.2], settled_um=1.0, sheets_63=None, sheets_95=None)
    assert any("95 % not reached" in words for words in texts(draw_start_up(SUBJECT, [lost])))


@pytest.mark.parametrize("films", [[], [0.1, NAN], [-1.0], [math.inf]])
def test_a_course_without_films_is_refused(films: list[float]) -> None:
    bad = Course(name="", sheets_um=films, settled_um=1.0, sheets_63=None, sheets_95=None)
    with pytest.raises(ValueError, match="finite film"):
        draw_start_up(SUBJECT, [bad])
    with pytest.raises(ValueError, match="courses"):
        draw_start_up(SUBJECT, [])
    with pytest.raises(ValueError, match="settled"):
        draw_start_up(SUBJECT, [Course(name="", sheets_um=[0.0], settled_um=0.0, sheets_63=None, sheets_95=None)])


def test_profiles_stand_over_their_zones() -> None:
    across = Profile(places_mm=[10, 30, 50, 70], film_um=[1.0, 1.1, NAN, 0.9], band=([0.9] * 4, [1.2] * 4))
    zones = Zones(edges_mm=[0, 20, 40, 60, 80], films_um=[10, 20, 30, 5])
    along = Profile(places_mm=[0, 100, 200], film_um=[0.0, 1.0, 1.0])
    panels = panels_of(across, along, zones)
    assert panels[0].at(40, 1.0)[0] == panels[1].at(40, 5.0)[0], "zones and film share their places"
    assert panels[0].y.low > 0
    assert panels[2].y.low == 0
    drawing = draw_profiles(SUBJECT, across, along=along, zones=zones)
    shown = texts(drawing)
    assert {"1", "2", "3", "4"} <= set(shown)
    assert any("does not begin at zero" in words for words in shown)
    assert to_png(drawing, width_px=300).startswith(b"\x89PNG")


def test_a_profile_of_one_place_and_of_no_ink_is_drawn() -> None:
    assert "<circle" in draw_profiles(SUBJECT, Profile(places_mm=[5.0], film_um=[1.0])).svg
    assert draw_profiles(SUBJECT, Profile(places_mm=[0.0, 5.0], film_um=[0.0, 0.0])).svg


@pytest.mark.parametrize(
    "bad",
    [
        Profile(places_mm=[], film_um=[]),
        Profile(places_mm=[1.0], film_um=[1.0, 2.0]),
        Profile(places_mm=[1.0], film_um=[NAN]),
        Profile(places_mm=[1.0, 2.0], film_um=[1.0, -0.1]),
        Profile(places_mm=[1.0, NAN], film_um=[1.0, 1.0]),
    ],
)
def test_a_profile_that_is_none_is_refused(bad: Profile) -> None:
    with pytest.raises(ValueError, match=r"profile|film"):
        draw_profiles(SUBJECT, bad)


@pytest.mark.parametrize("plain", [False, True])
@pytest.mark.parametrize("columns", [30, 60, 100, 200])
def test_terminal_charts_fit_and_say_their_numbers(columns: int, plain: bool) -> None:
    across = Profile(places_mm=[10, 30, 50, 70], film_um=[1.0, 1.1, NAN, 0.9])
    start = start_up_in_terminal(course(), columns=columns, plain=plain)
    film = profile_in_terminal(across, columns=columns, plain=plain, zones=Zones(edges_mm=[0, 40, 80]))
    for lines in (start, film):
        assert max(map(len, lines)) <= columns
        assert len(lines) >= ROWS
        assert not plain or "".join(lines).isascii()
    said = " ".join(start)
    assert "sheet 10" in said
    assert "sheet 30" in said
    assert any(line.split() == ["1", "2"] for line in film)


def test_the_line_in_the_terminal_rises_with_the_film() -> None:
    rows = start_up_in_terminal(course(), columns=60, plain=True)[1 : ROWS + 1]
    first = [next((i for i, row in enumerate(rows) if len(row) > c and row[c] in "*o@"), ROWS) for c in range(6, 60)]
    assert first == sorted(first, reverse=True)
    assert first[0] > first[-1]
