"""Sheet by sheet on paper: given values at given places, large letters, no words over words or poles."""

from __future__ import annotations

import math
import random
from itertools import combinations
from xml.etree import ElementTree as ET

import pytest

from filmsplit.figures.boxes import Box
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.flags import Flag, place_flags
from filmsplit.figures.heading import Subject
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.raster import to_png
from filmsplit.figures.sheet_course import (
    LETTER_MM,
    WIDTH_MM,
    Event,
    SheetCourse,
    draw_sheet_course,
    foot_lines,
    hatched,
    layout,
)

SVG = "{http://www.w3.org/2000/svg}"
SUBJECT = Subject("Small press", invented=True)
SMALLEST_PT, PT_PER_MM = 9.0, 72 / 25.4
BAND = (1.3, 1.5)
EVENTS = (
    Event(sheet=1, words="charged, start settings"),
    Event(sheet=13, words="go to the run settings"),
    Event(sheet=17, words="first good sheet"),
    Event(sheet=288, words="ductor off"),
)


def course(name: str = "this plan", *, tau: float = 14.0, sheets: int = 300, zones: int = 5) -> SheetCourse:
    """Every zone an exponential to its own level, 1.33 to 1.47."""
    levels = [1.4 * (1 + 0.05 * (2 * zone / max(zones - 1, 1) - 1)) for zone in range(zones)]
    return SheetCourse.over_zones(
        name, [[level * (1 - math.exp(-sheet / tau)) for level in levels] for sheet in range(1, sheets + 1)]
    )


def drawn(**changed: object) -> Drawing:
    given = {"axis": "solid density", "band": BAND, "events": EVENTS, **changed}
    return draw_sheet_course(SUBJECT, [course(), course("settled settings", tau=60.0)], **given)  # type: ignore[arg-type]


def words_in(drawing: Drawing) -> list[ET.Element]:
    return list(ET.fromstring(drawing.svg).iter(f"{SVG}text"))


def box_of(node: ET.Element) -> Box:
    """As wide and high as the letters are drawn."""
    size, x, y = (float(node.get(name, "nan")) for name in ("font-size", "x", "y"))
    width = text_width_mm(node.text or "", size)
    left = {"middle": x - width / 2, "end": x - width}.get(node.get("text-anchor", ""), x)
    return Box(left, y - 0.72 * size, left + width, y + 0.2 * size)


def test_mean_and_spread_are_those_of_the_zones() -> None:
    made = SheetCourse.over_zones("a", [[1.0, 2.0, 6.0], [2.0, 2.0, 2.0]])
    assert (list(made.mean), list(made.low), list(made.high)) == ([3.0, 2.0], [1.0, 2.0], [6.0, 2.0])


def test_drawn_in_its_own_size_no_letter_is_too_small() -> None:
    made = drawn()
    assert made.width_mm == WIDTH_MM
    sizes = [float(node.get("font-size", "0")) for node in words_in(made)]
    assert min(sizes) * PT_PER_MM >= SMALLEST_PT
    assert to_png(made, width_px=400).startswith(b"\x89PNG")


@pytest.mark.parametrize(
    "events",
    [(), EVENTS, tuple(Event(sheet=n, words="something that happens here") for n in (40, 80, 120, 160, 200, 240))],
)
@pytest.mark.parametrize("band", [None, BAND])
def test_no_words_lie_over_words_or_off_the_paper(events: tuple[Event, ...], band: tuple[float, float] | None) -> None:
    made = drawn(events=events, band=band)
    boxes = [box_of(node) for node in words_in(made)]
    assert all(box.within(Box(-0.01, 0, made.width_mm + 0.01, made.height_mm)) for box in boxes)
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]


def test_every_event_stands_over_its_sheet() -> None:
    plot, flags = layout([course()], axis="", band=BAND, events=EVENTS)
    assert flags is not None
    for flag, event in zip(flags, EVENTS, strict=True):
        assert flag.pole_mm == pytest.approx(plot.box.left + (plot.box.right - plot.box.left) * event.sheet / 300)
        assert " ".join(flag.lines) == f"sheet {event.sheet}: {event.words}"


def check_flags(flags: tuple[Flag, ...], room: Box) -> None:
    for one, other in combinations(flags, 2):
        assert not one.box.overlaps(other.box)
    for one in flags:
        assert one.box.left >= room.left
        assert one.box.right <= room.right
        assert one.box.bottom <= room.bottom
        for other in flags:
            pole = Box(other.pole_mm, other.box.top, other.pole_mm, room.bottom)
            assert not one.box.overlaps(pole.grown(0.1)), "a pole through words"


def test_flags_keep_clear_wherever_the_events_fall() -> None:
    """A thousand made cases; where nothing fits it is said, and that is seldom."""
    draw, room, lost = random.Random(4), Box(12, 0, 182, 20), 0
    for _ in range(1000):
        spots = [draw.uniform(12, 178) for _ in range(draw.randint(1, 6))]
        told = [(spot, " ".join(["word"] * draw.randint(1, 7))) for spot in spots]
        flags = place_flags(told, room=room, size_mm=LETTER_MM)
        if flags is None:
            lost += 1
        else:
            check_flags(flags, room)
    assert lost < 20


def test_more_flags_than_can_be_told_are_refused() -> None:
    with pytest.raises(ValueError, match="flags"):
        place_flags([(20.0, "a")] * 7, room=Box(0, 0, 100, 20), size_mm=LETTER_MM)


def test_an_event_without_room_is_told_at_the_foot() -> None:
    long = "w" * 60
    events = [Event(sheet=150, words=long)]
    plot, flags = layout([course()], axis="", band=None, events=events)
    assert flags is None
    assert any(long in words for words in foot_lines(SUBJECT, plot, untold=events))
    assert any(long in (node.text or "") for node in words_in(drawn(events=events)))


def test_courses_are_told_apart_by_dash_and_in_black() -> None:
    svg = drawn().svg
    root = ET.fromstring(svg)
    means = [node.get("stroke-dasharray") for node in root.iter(f"{SVG}path") if node.get("stroke-width") == "0.6"]
    assert len(set(means)) == 2
    colours = {
        node.get(name) for node in root.iter() for name in ("fill", "stroke") if (node.get(name) or "").startswith("#")
    }
    assert all(each and each[1:3] == each[3:5] == each[5:7] for each in colours), "grey only"


def test_values_stand_where_they_belong() -> None:
    plot, _ = layout([course()], axis="", band=BAND, events=())
    assert plot.y.low == 0
    assert plot.y.high >= 1.5
    assert plot.at(300.0, 0.0)[0] == pytest.approx(plot.box.right)
    near = SheetCourse(name="restart", mean=[1.3, 1.4, 1.42])
    not_from_zero, _ = layout([near], axis="density", band=BAND, events=())
    assert not_from_zero.y.low > 0
    assert "does not begin at zero" in not_from_zero.y.title


def test_a_long_run_has_a_logarithmic_axis_and_says_so() -> None:
    plot, _ = layout([course(sheets=5000)], axis="", band=None, events=())
    assert plot.x.log
    assert "logarithmic" in plot.x.title
    assert not layout([course(sheets=300)], axis="", band=None, events=())[0].x.log


def test_hatching_stays_in_its_box() -> None:
    made = "".join(hatched(Box(10, 20, 50, 24)))
    spots = [
        tuple(map(float, pair.split())) for part in made.split('d="M')[1:] for pair in part.split('"')[0].split("L")
    ]
    assert len(spots) > 20
    assert all(9.99 <= x <= 50.01 and 19.99 <= y <= 24.01 for x, y in spots)


@pytest.mark.parametrize(
    ("courses", "changed", "match"),
    [
        ([], {}, "courses"),
        ([course()] * 3, {}, "courses"),
        ([SheetCourse(name="", mean=[])], {}, "every sheet"),
        ([SheetCourse(name="", mean=[math.nan])], {}, "finite"),
        ([SheetCourse(name="", mean=[-1.0])], {}, "finite"),
        ([SheetCourse(name="", mean=[1.0, 1.0], low=[1.0], high=[1.0])], {}, "every sheet"),
        ([SheetCourse(name="", mean=[1.0], low=[1.0])], {}, "together"),
        ([course()], {"band": (1.5, 1.3)}, "band"),
        ([course()], {"events": [Event(sheet=301, words="")]}, "event"),
        ([course()], {"events": [Event(sheet=0, words="")]}, "event"),
    ],
)
def test_what_cannot_be_drawn_is_refused(courses: list[SheetCourse], changed: dict[str, object], match: str) -> None:
    with pytest.raises(ValueError, match=match):
        draw_sheet_course(SUBJECT, courses, axis="", **changed)  # type: ignore[arg-type]
