"""The picture of a plate: true to scale, the right way round, nothing written over anything else."""

from __future__ import annotations

import re
from base64 import b64decode
from dataclasses import replace
from io import BytesIO
from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from figures.test_looks import grey_value
from filmsplit.artwork import (
    CoverageMap,
    Frame,
    Placement,
    Plate,
    Sheet,
    Source,
    StepAndRepeat,
    Turn,
    WorkStyle,
    doubts,
    place,
)
from filmsplit.figures.boxes import Box
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.heading import Subject
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.plate_look import ON_PAPER, PAPER_MM, lie_of
from filmsplit.figures.plate_notes import SHOWN
from filmsplit.figures.plate_picture import draw_plate
from filmsplit.figures.plate_seen import LaySide, PlateSeen, greys, step_of
from filmsplit.figures.raster import to_png

SVG = "{http://www.w3.org/2000/svg}"
SUBJECT = Subject("Small press", invented=True)
PLATE = Plate.even(500.0, 340.0, gap_mm=60.0)
EDGES = np.arange(12) * 30.0 + 5.0
SHEET = Sheet(length_mm=400.0, width_mm=320.0, side_mm=10.0, gripper_mm=10.0)


def picture(shares: np.ndarray) -> CoverageMap:
    """Cells of ten millimetres."""
    rows, columns = shares.shape
    return CoverageMap(
        ink="black",
        coverage=shares,
        round_edges_mm=np.arange(rows + 1) * 10.0,
        across_edges_mm=np.arange(columns + 1) * 10.0,
        frame=Frame.PICTURE,
        source=Source(file="work.tif", kind="made"),
    )


def ramp(rows: int = 20, columns: int = 15) -> np.ndarray:
    return np.linspace(0.01, 0.9, rows * columns).reshape(rows, columns)


def seen(shares: np.ndarray | None = None, *, edges: np.ndarray = EDGES, **placed: object) -> PlateSeen:
    work = picture(ramp() if shares is None else shares)
    placement = Placement(**{"sheet": SHEET, "lead_mm": 10.0, "side_mm": 5.0, **placed})  # type: ignore[arg-type]
    lying, told = place(work, placement, PLATE)
    return PlateSeen(
        placed=lying,
        plate=PLATE,
        placement=placement,
        picture_mm=(work.round_mm, work.across_mm),
        zone_edges_mm=edges,
        told=(*told, *doubts(work)),
    )


MANY = StepAndRepeat(times_round=5, times_across=7, step_round_mm=65.0, step_across_mm=44.0)
STYLES: dict[str, PlateSeen] = {
    "plain": seen(),
    "turn": seen(style=WorkStyle.WORK_AND_TURN),
    "tumble": seen(ramp(15), style=WorkStyle.WORK_AND_TUMBLE),
    "quarter": seen(turn=Turn.QUARTER),
    "repeated": seen(ramp(6, 4), repeat=MANY),
    "negative": seen(1 - ramp(), negative=True, mirrored=True),
    "doubted": seen(np.full((20, 15), 0.9)),
    "narrow zones": seen(edges=np.linspace(5.0, 335.0, 37)),
    "zones beside": seen(edges=np.arange(5) * 30.0 + 5.0),
    "empty": seen(np.zeros((20, 15))),
    "no sheet": seen(sheet=None, side_mm=40.0),
    "no grippers": seen(sheet=replace(SHEET, gripper_mm=0.0)),
    "24 zones": seen(edges=np.linspace(5.0, 335.0, 25)),
}
EACH = pytest.mark.parametrize("name", STYLES)


def drawn(name: str) -> tuple[PlateSeen, Drawing, ET.Element]:
    drawing = draw_plate(SUBJECT, STYLES[name])
    return STYLES[name], drawing, ET.fromstring(drawing.svg)


def text_boxes(root: ET.Element) -> list[tuple[str, Box]]:
    """Each text as a box: its width from the font, from a little above its figures to below its baseline."""
    turned = {each: group for group in root.iter(f"{SVG}g") if "transform" in group.attrib for each in group}
    boxes = []
    for each in root.iter(f"{SVG}text"):
        x, y, size = (float(each.attrib[name]) for name in ("x", "y", "font-size"))
        words = each.text or ""
        width = text_width_mm(words, size, bold=each.get("font-weight") == "bold")
        left = x - width * {"middle": 0.5, "end": 1.0}.get(each.get("text-anchor", ""), 0.0)
        box = Box(left, y - 0.72 * size, left + width, y + 0.2 * size)
        boxes.append((words, box if each not in turned else turned_box(box, turned[each].attrib["transform"])))
    return boxes


def turned_box(box: Box, transform: str) -> Box:
    """The box after a quarter turn to the left about the origin, then moved."""
    found = re.fullmatch(r"translate\((\S+) (\S+)\) rotate\(-90\)", transform)
    assert found is not None, transform
    x, y = map(float, found.groups())
    return Box(x + box.top, y - box.right, x + box.bottom, y - box.left)


def picture_in(drawing: Drawing) -> np.ndarray:
    found = re.search(r"base64,([^\"]+)", drawing.svg)
    assert found is not None
    return np.asarray(Image.open(BytesIO(b64decode(found[1]))).convert("L"))


@EACH
def test_nothing_is_written_over_anything_else_or_off_the_page(name: str) -> None:
    _, drawing, root = drawn(name)
    page = Box(0.0, 0.0, drawing.width_mm, drawing.height_mm)
    boxes = text_boxes(root)
    assert all(box.within(page) for _, box in boxes)
    clashes = [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if one.overlaps(other)]
    assert not clashes


@EACH
def test_bars_keep_clear_of_words(name: str) -> None:
    _, _, root = drawn(name)
    bars = [bar for bar in root.iter(f"{SVG}rect") if bar.get("stroke-width") == "0.1"]
    boxes = [Box(*(float(bar.attrib[k]) for k in ("x", "y", "width", "height"))) for bar in bars]
    for bar in (Box(b.left, b.top, b.left + b.right, b.top + b.bottom) for b in boxes):
        assert not [words for words, box in text_boxes(root) if box.overlaps(bar.grown(-0.05))]


@EACH
def test_every_zone_has_its_number_and_percent_in_place(name: str) -> None:
    """Percent by hand: image of the zone over its part under the sheet (over the plate where there is no sheet)."""
    view, _, root = drawn(name)
    lie, sheet = lie_of(view), view.placement.sheet
    words = text_boxes(root)
    for number, (first, last) in enumerate(pairwise(view.zone_edges_mm), start=1):
        columns = (view.placed.across_edges_mm[:-1] >= first - 1e-9) & (view.placed.across_edges_mm[1:] <= last + 1e-9)
        under, length = last - first, PLATE.usable_mm
        if sheet is not None:
            under = min(last, sheet.side_mm + sheet.width_mm) - max(first, sheet.side_mm)
            length = sheet.length_mm
        exact = np.isclose(view.placed.across_edges_mm[:, None], (first, last)).any(axis=0).all()
        left, right = lie.at(0.0, first)[0], lie.at(0.0, last)[0]
        inside = [text for text, box in words if left <= box.left and box.right <= right and box.bottom < lie.box.top]
        assert str(number) in inside
        if exact:
            share = view.placed.coverage[:, columns].sum() / (under * length)
            assert f"{100 * share:.1f}" in inside


def test_lead_edge_is_up_and_the_operators_side_is_left() -> None:
    shares = np.zeros((20, 15))
    shares[0, 0], shares[0, -1], shares[-1, 0] = 0.9, 0.5, 0.2
    view = seen(shares)
    dots = picture_in(draw_plate(SUBJECT, view))
    assert dots.shape == (500, 340)
    first, last = dots[15, 20], dots[15, 160]
    assert first < last < dots[205, 20] < 255
    assert dots[100, 100] == 255


def test_more_image_is_darker_and_only_paper_is_white() -> None:
    """As a grey copier sees it (luma of ITU-R BT.601)."""
    luma = [grey_value(grey) for grey in greys()]
    assert luma == sorted(luma, reverse=True)
    assert len(set(luma)) == len(luma)
    shares = np.linspace(0.001, 1.0, 500)
    assert (np.diff(step_of(shares).astype(int)) >= 0).all()
    assert step_of(shares).min() >= 1
    assert step_of([0.0]) == [0]
    shown = [luma[int(step_of(share))] for share in SHOWN]
    assert all(a - b > 12 for a, b in pairwise(shown)), "two swatches that look alike on a copy"


def test_gap_sheet_and_grippers_are_to_scale() -> None:
    view, _, root = drawn("plain")
    lie = lie_of(view)
    sizes = {
        (float(each.attrib["width"]), float(each.attrib["height"]))
        for each in root.iter(f"{SVG}rect")
        if "x" in each.attrib
    }
    for across, along in ((340, 60), (340, 500), (320, 400), (320, 10), (150, 200)):
        wanted = (across * lie.scale, along * lie.scale)
        assert any(size == pytest.approx(wanted, abs=0.011) for size in sizes), (across, along)


def test_what_is_doubtful_or_declared_is_said() -> None:
    said = {name: " ".join(words for words, _ in text_boxes(drawn(name)[2])) for name in STYLES}
    assert "negative" in said["doubted"]
    assert "To look at before printing" in said["doubted"]
    assert "To look at before printing" not in said["plain"]
    assert "declared a negative" in said["negative"]
    assert "declared mirrored" in said["negative"]
    assert "beside the zones" in said["zones beside"]
    assert {"front", "back"} <= {words for words, _ in text_boxes(drawn("turn")[2])}
    assert "work and tumble" in said["tumble"]
    assert "invented" in said["plain"]


def test_the_guide_is_drawn_only_where_it_was_said() -> None:
    sides = {side: draw_plate(SUBJECT, replace(STYLES["plain"], lay=side)).svg for side in (None, *LaySide)}
    assert len(set(sides.values())) == 3
    assert "sheet laid at" not in sides[None]
    assert "sheet laid at the gear side" in sides[LaySide.GEAR]


def test_a_wedge_for_each_copy_looks_to_its_top() -> None:
    for name, turns in (("plain", ["0"]), ("quarter", ["90"]), ("tumble", ["0", "180"]), ("repeated", ["0"] * 35)):
        found = re.findall(r"rotate\((\d+)\)", draw_plate(SUBJECT, STYLES[name]).svg)
        assert found == turns


def test_figures_by_zone_have_no_picture_outline() -> None:
    svg = draw_plate(SUBJECT, replace(STYLES["plain"], picture_mm=None)).svg
    assert "top of the picture" not in svg
    assert "rotate(" not in svg


@EACH
def test_it_becomes_a_picture_and_words(name: str) -> None:
    _, drawing, root = drawn(name)
    assert root.get("role") == "img"
    assert "Coverage by zone: 1:" in drawing.alt
    assert to_png(drawing, width_px=300).startswith(b"\x89PNG")


def test_a_large_plate_makes_a_small_file() -> None:
    plate = Plate.even(1400.0, 1050.0, gap_mm=100.0)
    noise = np.random.default_rng(4).uniform(0, 1, (100, 90))
    placement = Placement()
    placed, _ = place(picture(noise), placement, plate)
    view = PlateSeen(placed=placed, plate=plate, placement=placement, zone_edges_mm=np.linspace(0, 1050, 36))
    drawing = draw_plate(SUBJECT, view)
    assert max(picture_in(drawing).shape) <= 600
    assert len(drawing.svg) < 600_000


WORDS_MM, NUMBERS_MM = 3.2, 2.8
"""9 pt and 8 pt: what can be read at arm's length at a press (common practice)."""
SHORT = Sheet(length_mm=215.0, width_mm=310.0, side_mm=15.0, gripper_mm=10.0)
LONG_PLATE = Plate.even(700.0, 780.0, gap_mm=90.0)


def across_long(zones: int) -> PlateSeen:
    """A wide press: zones of 750 mm in all."""
    sheet = Sheet(length_mm=520.0, width_mm=720.0, side_mm=30.0, gripper_mm=10.0)
    placement = Placement(sheet=sheet, lead_mm=10.0, side_mm=20.0)
    work = picture(ramp(50, 70))
    lying, told = place(work, placement, LONG_PLATE)
    return PlateSeen(
        placed=lying,
        plate=LONG_PLATE,
        placement=placement,
        picture_mm=(work.round_mm, work.across_mm),
        zone_edges_mm=np.linspace(15.0, 765.0, zones + 1),
        told=told,
    )


PAPERS = {
    **STYLES,
    "short sheet": seen(sheet=SHORT, style=WorkStyle.WORK_AND_TURN),
    "guide": replace(seen(sheet=SHORT, style=WorkStyle.WORK_AND_TURN), lay=LaySide.GEAR),
    "full": seen(np.full((20, 15), 1.0), sheet=SHORT),
    **{f"wide press, {zones} zones": across_long(zones) for zones in (20, 24, 28, 32, 40)},
}
EACH_ON_PAPER = pytest.mark.parametrize("name", PAPERS)


def on_paper(name: str) -> tuple[Drawing, ET.Element]:
    drawing = draw_plate(SUBJECT, PAPERS[name], look=ON_PAPER)
    return drawing, ET.fromstring(drawing.svg)


def upright_lines(root: ET.Element) -> list[Box]:
    found = [re.fullmatch(r"M(\S+) (\S+)L(\S+) (\S+)", each.attrib["d"]) for each in root.iter(f"{SVG}path")]
    ends = [tuple(map(float, each.groups())) for each in found if each is not None]
    return [Box(x - 0.1, min(a, b), x + 0.1, max(a, b)) for x, a, other, b in ends if x == other]


@EACH_ON_PAPER
def test_on_paper_it_keeps_its_size_and_shares_a_page(name: str) -> None:
    drawing, root = on_paper(name)
    assert drawing.width_mm == PAPER_MM == 182.0
    assert drawing.height_mm <= 150.0
    for each in root.iter(f"{SVG}text"):
        number = re.fullmatch(r"[\d.]+", each.text or "")
        assert float(each.attrib["font-size"]) >= (NUMBERS_MM if number else WORDS_MM), each.text


@EACH_ON_PAPER
def test_on_paper_nothing_is_written_over_anything_else_or_off_it(name: str) -> None:
    drawing, root = on_paper(name)
    page = Box(0.0, 0.0, drawing.width_mm, drawing.height_mm)
    boxes = text_boxes(root)
    assert [words for words, box in boxes if not box.within(page)] == []
    assert [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if one.overlaps(other)] == []
    above = [(words, box) for words, box in boxes if box.bottom < lie_of(PAPERS[name], look=ON_PAPER).box.top]
    assert [words for words, box in above for each in upright_lines(root) if box.overlaps(each)] == []


@EACH_ON_PAPER
def test_on_paper_sheet_and_copies_are_whole(name: str) -> None:
    """A plate may be cut off below what is on it, never what is on it."""
    view, lie = PAPERS[name], lie_of(PAPERS[name], look=ON_PAPER)
    sheet = view.placement.sheet
    ends = [copy.lead_mm + copy.round_mm for copy in view.copies]
    assert (
        max([*ends, 0.0 if sheet is None else sheet.lead_mm + sheet.length_mm]) <= lie.round_mm <= view.round_mm + 1e-9
    )
    said = " ".join(words for words, _ in text_boxes(on_paper(name)[1]))
    assert ("the plate goes on" in said) is (lie.round_mm < view.round_mm - 1e-9)


def zone_words(name: str) -> list[tuple[str, Box]]:
    view = PAPERS[name]
    lie = lie_of(view, look=ON_PAPER)
    boxes = text_boxes(on_paper(name)[1])
    return [(words, box) for words, box in boxes if re.fullmatch(r"[\d.]+", words) and box.bottom < lie.box.top - 3.0]


def is_turned(words: str, box: Box) -> bool:
    return len(words) > 1 and box.bottom - box.top > box.right - box.left


def test_on_paper_zones_that_do_not_fit_are_turned_then_left_out() -> None:
    """Level where the room is, upright where only that fits, some numbers and no percent where neither does."""
    for name, zones, turned in (("plain", 11, False), ("wide press, 24 zones", 24, False), ("24 zones", 24, True)):
        words = zone_words(name)
        assert len(words) == 2 * zones, name
        assert any(is_turned(*each) for each in words) is turned, name
    narrow = [words for words, _ in zone_words("narrow zones")]
    assert narrow == [str(number) for number in range(1, 37) if number % int(narrow[0]) == 0]
    assert len(narrow) < 36
    assert "too narrow for percents" in draw_plate(SUBJECT, PAPERS["narrow zones"], look=ON_PAPER).svg


@pytest.mark.parametrize("name", ["plain", "24 zones", "wide press, 24 zones"])
def test_on_paper_percents_are_those_of_the_screen(name: str) -> None:
    """Tenths under ten percent, whole ones above, each over its own zone."""
    view, lie = PAPERS[name], lie_of(PAPERS[name], look=ON_PAPER)
    words = zone_words(name)
    for share, (first, last) in zip(view.zone_shares, pairwise(view.zone_edges_mm), strict=True):
        left, right = lie.at(0.0, first)[0], lie.at(0.0, last)[0]
        percent, _ = sorted((box.top, said) for said, box in words if left <= box.left and box.right <= right)
        places = 1 if share < 0.0995 else 0
        assert float(percent[1]) == round(100 * share, places)


def test_on_paper_it_is_black() -> None:
    for name in PAPERS:
        colours = re.findall(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})", on_paper(name)[0].svg)
        assert all(red == green == blue for red, green, blue in colours)


def test_on_paper_the_picture_is_the_cut_one() -> None:
    """Ten millimetres a cell in the work, one a cell on the plate: as many rows as are drawn."""
    view = PAPERS["short sheet"]
    drawing = draw_plate(SUBJECT, view, look=ON_PAPER)
    whole = picture_in(draw_plate(SUBJECT, view))
    cut = picture_in(drawing)
    assert len(cut) < len(whole)
    assert (cut == whole[: len(cut)]).all()
    assert (whole[len(cut) :] == 255).all()
