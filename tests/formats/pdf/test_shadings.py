"""Shadings of every kind as grey for each ink, drawn by the library that draws pages, against the arithmetic.

Source: ISO 32000-2, 8.7.4.5.
"""

from __future__ import annotations

import os
import struct
from collections.abc import Callable
from typing import Any

import numpy as np
import pikepdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name

from filmsplit.formats.pdf.conversion import Conversion, Way
from filmsplit.formats.pdf.functions import function_of
from filmsplit.formats.pdf.inks import Inks
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.shading_lines import grey_line
from filmsplit.formats.pdf.shadings import InkShading, ink_shading
from filmsplit.formats.pdf.spaces import PageColours, ink_colours
from formats.pdf.drawn_grey import SIDE, drawn
from formats.pdf.made_functions import power, stitched

WITHIN = 2 / 255
"""One grey of 256 for the steps in which the library draws shadings, one for its rounding."""
MEAN_WITHIN = 0.003
"""What a zone may be off; half a dot of a page of 100 dots is left to it, as the library takes edges of dots."""
HALF_DOT = 0.5 / SIDE
EXAMPLES = int(os.environ.get("FILMSPLIT_FUZZ_EXAMPLES", "100"))
QUICK = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
ACROSS = (np.arange(SIDE) + 0.5) / SIDE
Dots = NDArray[np.float64]


def colours(*spots: str) -> PageColours:
    return ink_colours(Inks(spots=spots), ledger=Ledger(), conversion=Conversion(way=Way.PLAIN))


def noted(of: PageColours) -> set[str]:
    return {each.slug for each in of.ledger.problems()}


def axial(function: Any, space: Any = Name.DeviceCMYK, **entries: Any) -> Dictionary:
    told = {"Coords": [0, 0, SIDE, 0], **entries}
    return Dictionary(ShadingType=2, ColorSpace=space, Function=function, **told)


def ink_of(pdf: pikepdf.Pdf, shading: InkShading, plane: int) -> Dots:
    """Amounts of one ink by dot of the page."""
    grey = shading.grey(plane)
    return np.zeros((SIDE, SIDE)) if grey is None else 1 - drawn(pdf, b"/S sh", Shading=Dictionary(S=grey))


FULL = power([0.0, 0.2, 1.0, 0.0], [1.0, 0.2, 0.0, 0.0])


def test_axial_shadings_of_four_inks() -> None:
    pdf = pikepdf.new()
    made = ink_shading(axial(FULL), colours(), Dictionary())
    for plane, wanted in enumerate((ACROSS, np.full(SIDE, 0.2), 1 - ACROSS)):
        found = ink_of(pdf, made, plane)[50]
        assert found == pytest.approx(wanted, abs=WITHIN + HALF_DOT)
        assert found.mean() == pytest.approx(wanted.mean(), abs=MEAN_WITHIN + HALF_DOT)
    assert made.grey(3) is None
    assert made.inks == frozenset(range(4))


def test_means_of_long_shadings_are_true() -> None:
    """Of a shading longer than the page, whose function taken as it is would be off by 0.004 in the mean. What is left
    is half a dot of the page, 0.0006, and greys that are rounded one way for a while."""
    pdf, means = pikepdf.new(), []
    for start in (-0.5, -2, -4, -6.3):
        made = ink_shading(axial(FULL, Coords=[start * SIDE, 0, (start + 9) * SIDE, 0]), colours(), Dictionary())
        wanted = np.clip((ACROSS - start) / 9, 0, 1)
        means.append(ink_of(pdf, made, 0)[50].mean() - wanted.mean())
    assert means == pytest.approx(np.zeros(4), abs=0.002)
    assert np.mean(means) == pytest.approx(0, abs=0.001)


def test_ends_go_on_with_their_own_colours() -> None:
    pdf = pikepdf.new()
    described = axial(FULL, Coords=[40, 0, 60, 0], Extend=[True, True])
    found = ink_of(pdf, ink_shading(described, colours(), Dictionary()), 0)[50]
    assert found[:39] == pytest.approx(np.zeros(39))
    assert found[61:] == pytest.approx(np.ones(39))


def test_ends_that_do_not_go_on_leave_white() -> None:
    pdf = pikepdf.new()
    described = axial(power([1.0] * 4, [1.0] * 4), Coords=[40, 0, 60, 0])
    found = ink_of(pdf, ink_shading(described, colours(), Dictionary()), 0)[50]
    assert found[:39].max() == 0
    assert found[42:58].min() == 1


def test_steps_stay_sharp() -> None:
    pdf = pikepdf.new()
    low, high = power([0.1, 0, 0, 0], [0.3, 0, 0, 0]), power([0.8, 0, 0, 0], [0.6, 0, 0, 0])
    made = ink_shading(axial(stitched([low, high], [0.5], [0, 1, 0, 1])), colours(), Dictionary())
    found = ink_of(pdf, made, 0)[50]
    wanted = np.where(ACROSS < 0.5, 0.1 + 0.4 * ACROSS, 0.8 - 0.4 * (ACROSS - 0.5))
    away = np.abs(ACROSS - 0.5) > 0.02
    assert found[away] == pytest.approx(wanted[away], abs=WITHIN + HALF_DOT)


def test_a_spot_and_a_tint_that_bends() -> None:
    pdf = pikepdf.new()
    tint = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[0, 1, 0, 0], N=1)
    space = Array([Name.Separation, Name.Gold, Name.DeviceCMYK, tint])
    made = ink_shading(axial(power([0.0], [1.0], 3), space), colours("Gold"), Dictionary())
    assert ink_of(pdf, made, 4)[50] == pytest.approx(ACROSS**3, abs=WITHIN + 3 * HALF_DOT)
    assert made.grey(1) is None
    assert made.inks == frozenset({4})


def test_functions_side_by_side_and_a_domain_of_its_own() -> None:
    pdf = pikepdf.new()
    parts = [power([0.0], [each]) for each in (0.2, 0.0, 0.1, 0.0)]
    for each in parts:
        each["/Domain"] = Array([0, 4])
    made = ink_shading(axial(Array(parts), Domain=[1, 4]), colours(), Dictionary())
    assert ink_of(pdf, made, 0)[50] == pytest.approx(0.2 + 0.6 * ACROSS, abs=WITHIN + HALF_DOT)


def test_radial_shadings() -> None:
    pdf = pikepdf.new()
    described = axial(FULL, Coords=[50, 50, 0, 50, 50, 50], Extend=[False, True])
    described["/ShadingType"] = 3
    found = ink_of(pdf, ink_shading(described, colours(), Dictionary()), 0)
    down, across = np.mgrid[0:SIDE, 0:SIDE] + 0.5
    wanted = np.minimum(1, np.hypot(across - 50, down - 50) / 50)
    assert found == pytest.approx(wanted, abs=WITHIN + 3 * HALF_DOT)
    assert found.mean() == pytest.approx(wanted.mean(), abs=MEAN_WITHIN)


def test_rgb_shadings_become_ink_all_along() -> None:
    """From red to cyan through grey: black in the middle, by 10.4.2.4."""
    pdf, of = pikepdf.new(), colours()
    made = ink_shading(axial(power([1.0, 0.0, 0.0], [0.0, 1.0, 1.0]), Name.DeviceRGB), of, Dictionary())
    assert ink_of(pdf, made, 3)[50] == pytest.approx(np.minimum(ACROSS, 1 - ACROSS), abs=WITHIN + HALF_DOT)
    assert noted(of) == {"pdf-rgb-plain"}


def test_shadings_by_place() -> None:
    pdf = pikepdf.new()
    function = pdf.make_stream(b"{ 2 copy mul 3 1 roll 0 }")
    function["/FunctionType"] = 4
    function["/Domain"], function["/Range"] = Array([0, 1, 0, 1]), Array([0, 1] * 4)
    described = Dictionary(
        ShadingType=1, ColorSpace=Name.DeviceCMYK, Function=function, Matrix=[SIDE, 0, 0, SIDE, 0, 0]
    )
    made = ink_shading(described, colours(), Dictionary())
    across, up = np.meshgrid(ACROSS, ACROSS[::-1])
    for plane, wanted in enumerate((across * up, across, up)):
        found = ink_of(pdf, made, plane)
        assert found == pytest.approx(wanted, abs=WITHIN + 2 * HALF_DOT)
        assert found.mean() == pytest.approx(wanted.mean(), abs=MEAN_WITHIN + HALF_DOT)
    assert made.grey(3) is None
    assert drawn(pdf, b"0 g 0 0 100 100 re f /S sh", Shading=Dictionary(S=made.white())).min() == 1


CORNERS = (((0, 0), 0.0), ((1, 0), 1.0), ((0, 1), 0.0), ((1, 0), 1.0), ((0, 1), 0.0), ((1, 1), 1.0))
"""Two triangles that fill the page, of colours that go from left to right."""


def number(value: float, bits: int) -> str:
    return format(round(value * (2**bits - 1)), f"0{bits}b")


def padded(text: str) -> bytes:
    text += "0" * (-len(text) % 8)
    return bytes(int(text[at : at + 8], 2) for at in range(0, len(text), 8))


def mesh(pdf: pikepdf.Pdf, kind: int, data: bytes, widths: tuple[int, int, int], **entries: Any) -> pikepdf.Stream:
    made = pdf.make_stream(data)
    flag, coordinate, component = widths
    told = {
        "ShadingType": kind,
        "ColorSpace": Name.DeviceCMYK,
        "BitsPerCoordinate": coordinate,
        "BitsPerComponent": component,
        "Decode": Array([0, SIDE, 0, SIDE, 0, 1, 0, 1, 0, 1, 0, 1]),
        **entries,
    }
    if flag:
        told["BitsPerFlag"] = flag
    for key, value in told.items():
        made[f"/{key}"] = value
    return made


def inks_of(value: float) -> tuple[float, float, float, float]:
    return (value, 1 - value, 0.4, 0.0)


@pytest.mark.parametrize("widths", [(8, 16, 8), (2, 24, 16), (4, 12, 4), (8, 32, 1)])
def test_triangles(widths: tuple[int, int, int]) -> None:
    pdf, (flag, coordinate, component) = pikepdf.new(), widths
    records = (
        padded(
            "0" * flag
            + number(x, coordinate)
            + number(y, coordinate)
            + "".join(number(each, component) for each in inks_of(value))
        )
        for (x, y), value in CORNERS
    )
    made = ink_shading(mesh(pdf, 4, b"".join(records), widths), colours(), Dictionary())
    third = round(0.4 * (2**component - 1)) / (2**component - 1)
    for plane, wanted in enumerate((ACROSS, 1 - ACROSS, np.full(SIDE, third))):
        found = ink_of(pdf, made, plane)
        # dots at the very edges may lie beside the triangles
        assert found[10:90, 2:98] == pytest.approx(np.tile(wanted[2:98], (80, 1)), abs=WITHIN + HALF_DOT)
    assert made.grey(3) is None


def test_lattices() -> None:
    pdf = pikepdf.new()
    records = (
        struct.pack(">HH4B", round(x * 65535), round(y * 65535), *(round(255 * each) for each in inks_of(x)))
        for y in (0, 0.5, 1)
        for x in (0, 0.5, 1)
    )
    described = mesh(pdf, 5, b"".join(records), (0, 16, 8), VerticesPerRow=3)
    found = ink_of(pdf, ink_shading(described, colours(), Dictionary()), 0)
    assert found[10:90, 2:98] == pytest.approx(np.tile(ACROSS[2:98], (80, 1)), abs=WITHIN + HALF_DOT)


def edge(start: tuple[float, float], end: tuple[float, float]) -> list[tuple[float, float]]:
    """A straight side of a patch: its beginning and its two inner points."""
    (x, y), (u, v) = start, end
    return [(x + share * (u - x), y + share * (v - y)) for share in (0, 1 / 3, 2 / 3)]


def patch_data(kind: int) -> bytes:
    """The left half of the page as a patch, the right half as one that shares an edge with it."""
    left = [(0, 0), (0, 1), (0.5, 1), (0.5, 0)]
    outline = [each for at in range(4) for each in edge(left[at], left[(at + 1) % 4])]
    inner = [(1 / 6, 1 / 3), (1 / 6, 2 / 3), (1 / 3, 2 / 3), (1 / 3, 1 / 3)]
    # It shares the third side of the first, from (0.5, 1) to (0.5, 0).
    right = [(0.5, 1), (0.5, 0), (1, 0), (1, 1)]
    rest = [each for at in range(1, 4) for each in edge(right[at], right[(at + 1) % 4])][1:]
    data = b""
    for flag, points, values in ((0, outline, (0, 0, 0.5, 0.5)), (2, rest, (1, 1))):
        own = [*points, *([] if kind == 6 else [(x + (0.5 if flag else 0), y) for x, y in inner])]
        data += bytes([flag]) + b"".join(struct.pack(">HH", *(round(65535 * each) for each in at)) for at in own)
        data += b"".join(bytes(round(255 * each) for each in inks_of(value)) for value in values)
    return data


@pytest.mark.parametrize("kind", [6, 7])
def test_patches(kind: int) -> None:
    pdf = pikepdf.new()
    made = ink_shading(mesh(pdf, kind, patch_data(kind), (8, 16, 8)), colours(), Dictionary())
    found = ink_of(pdf, made, 0)
    assert found[10:90, 2:98] == pytest.approx(np.tile(ACROSS[2:98], (80, 1)), abs=0.02)
    quarters = found[10:90].mean(axis=0).reshape(4, 25).mean(axis=1)
    assert quarters == pytest.approx([0.125, 0.375, 0.625, 0.875], abs=MEAN_WITHIN + HALF_DOT)
    assert drawn(pdf, b"0 g 0 0 100 100 re f /S sh", Shading=Dictionary(S=made.white()))[20:80, 20:80].min() == 1


def test_patches_with_a_function_follow_its_bends() -> None:
    """From left to right the parameter runs from 0 to 1, cyan is its cube."""
    pdf, of = pikepdf.new(), colours()
    left = [(0, 0), (0, 1), (1, 1), (1, 0)]
    outline = [each for at in range(4) for each in edge(left[at], left[(at + 1) % 4])]
    data = b"\0" + b"".join(struct.pack(">HH", *(round(65535 * each) for each in at)) for at in outline)
    entries = {"Decode": Array([0, SIDE, 0, SIDE, 0, 1]), "Function": power([0.0] * 4, [1.0, 0.0, 0.0, 0.0], 3)}
    described = mesh(pdf, 6, data + bytes([0, 0, 255, 255]), (8, 16, 8), **entries)
    found = ink_of(pdf, ink_shading(described, of, Dictionary()), 0)
    # The cube is up to 3 steep: half a dot of the page is 3 halves of a hundredth; next to corners the library takes
    # colours up to a dot from beside. Both are of dots, and drawn pages have many more of them.
    assert found[10:90, 2:98] == pytest.approx(np.tile(ACROSS[2:98] ** 3, (80, 1)), abs=WITHIN + 6 * HALF_DOT)
    assert found[10:90, 2:98].mean(axis=0) == pytest.approx(ACROSS[2:98] ** 3, abs=WITHIN + 4 * HALF_DOT)
    assert noted(of) == set()


def test_bent_patches_are_where_their_edges_are() -> None:
    """A patch whose sides bulge by the same cubic outwards and inwards: its area is that of the square it began as,
    and no dot within is left out."""
    pdf = pikepdf.new()
    outline = [(0.2, 0.2), (0.1, 0.4), (0.1, 0.6), (0.2, 0.8), (0.4, 0.8), (0.6, 0.8)]
    outline += [(0.8, 0.8), (0.7, 0.6), (0.7, 0.4), (0.8, 0.2), (0.6, 0.2), (0.4, 0.2)]
    data = b"\0" + b"".join(struct.pack(">HH", *(round(65535 * each) for each in at)) for at in outline)
    described = mesh(pdf, 6, data + bytes([255, 0, 0, 0] * 4), (8, 16, 8))
    found = ink_of(pdf, ink_shading(described, colours(), Dictionary()), 0)
    assert found.sum() == pytest.approx(3600, rel=0.02)  # dots are whole at the edges
    # In the middle both sides lie 3/4 of 0.1 to the left: from 0.125 to 0.725.
    assert found[50, 14:71].min() == 1.0
    assert found[50, :11].max() == 0.0
    assert found[50, 74:].max() == 0.0


def parametric(pdf: pikepdf.Pdf, function: Any) -> pikepdf.Stream:
    records = (
        b"\0" + struct.pack(">HHB", round(x * 65535), round(y * 65535), round(value * 255)) for (x, y), value in CORNERS
    )
    decode = Array([0, SIDE, 0, SIDE, 0, 1])
    return mesh(pdf, 4, b"".join(records), (8, 16, 8), Decode=decode, Function=function)


def test_a_mesh_with_a_function() -> None:
    pdf, of = pikepdf.new(), colours()
    found = ink_of(pdf, ink_shading(parametric(pdf, FULL), of, Dictionary()), 2)
    assert found[10:90, 2:98] == pytest.approx(np.tile(1 - ACROSS[2:98], (80, 1)), abs=WITHIN + HALF_DOT)
    assert noted(of) == set()


def test_a_mesh_whose_function_bends_is_told() -> None:
    pdf, of = pikepdf.new(), colours()
    ink_shading(parametric(pdf, power([0.0] * 4, [1.0] * 4, 3)), of, Dictionary()).grey(0)
    assert noted(of) == {"pdf-mesh-function"}


def test_backgrounds_and_boxes_are_kept() -> None:
    pdf = pikepdf.new()
    described = axial(FULL, Background=[0.3, 0.0, 0.0, 0.6], BBox=[0, 0, 50, 100], Coords=[0, 0, 20, 0])
    made = ink_shading(described, colours(), Dictionary())
    grey = made.grey(3)
    assert grey is not None
    assert [float(each) for each in grey["/Background"]] == pytest.approx([0.4])
    assert [float(each) for each in made.white()["/Background"]] == [1.0]
    assert ink_of(pdf, made, 1)[50, 60:].max() == 0
    pattern = pdf.make_indirect(Dictionary(PatternType=2, Shading=grey))
    shown = 1 - drawn(pdf, b"/Pattern cs /P scn 0 0 100 100 re f", Pattern=Dictionary(P=pattern))
    assert shown[50, 40] == pytest.approx(0.6, abs=WITHIN)
    assert shown[50, 10] == 0.0
    assert shown[50, 70] == 0.0


@given(st.lists(st.floats(0, 1), min_size=2, max_size=60))
@QUICK
def test_lines_go_through_their_greys(grey: list[float]) -> None:
    places = np.linspace(0, 1, len(grey))
    found = function_of(grey_line(np.array(grey)))(places[:, None])[:, 0]
    # At a bound the later piece begins; both pieces have the same grey there, but bounds are written to six digits.
    assert found == pytest.approx(grey, abs=0.0005 + 1e-6 * len(grey) + 2e-6)


def test_a_straight_line_is_few_pieces() -> None:
    assert len(grey_line(np.linspace(0.1, 0.8, 257))["/Functions"]) == 1


def test_a_line_at_a_grey_a_step_leans_to_no_side() -> None:
    """Rounded to 256 greys, half go up and half go down."""
    line = (np.arange(257) + 0.5) / 255
    found = function_of(grey_line(line))(np.linspace(0, 1, 257)[:, None])[:, 0]
    assert np.mean(np.rint(found * 255) - line * 255) == pytest.approx(0, abs=0.05)
    assert len(grey_line(line)["/Functions"]) < 40


MALFORMED: dict[str, Callable[[pikepdf.Pdf], Any]] = {
    "no dictionary": lambda _: Array([]),
    "no space": lambda _: Dictionary(ShadingType=2, Function=FULL),
    "no function": lambda _: Dictionary(ShadingType=2, ColorSpace=Name.DeviceCMYK),
    "another number of colours": lambda _: axial(FULL, Name.DeviceRGB),
    "unknown kind": lambda _: Dictionary(ShadingType=9, ColorSpace=Name.DeviceCMYK, Function=FULL),
    "pattern": lambda _: axial(FULL, Name.Pattern),
    "mesh without data": lambda _: Dictionary(ShadingType=4, ColorSpace=Name.DeviceCMYK),
    "mesh of odd width": lambda pdf: mesh(pdf, 4, b"abc", (3, 16, 8)),
    "mesh without decode": lambda pdf: mesh(pdf, 4, b"abc", (8, 16, 8), Decode=Array([0, 1])),
    "by place without place": lambda _: Dictionary(ShadingType=1, ColorSpace=Name.DeviceCMYK, Function=FULL),
}


@pytest.mark.parametrize("name", MALFORMED)
def test_what_is_malformed_is_told(name: str) -> None:
    with pytest.raises(Malformed):
        ink_shading(MALFORMED[name](pikepdf.new()), colours(), Dictionary()).grey(0)


@given(st.integers(4, 7), st.binary(max_size=300), st.sampled_from([(8, 16, 8), (2, 1, 1), (4, 32, 16), (8, 12, 12)]))
@QUICK
def test_no_mesh_does_more_than_be_malformed(kind: int, data: bytes, widths: tuple[int, int, int]) -> None:
    pdf = pikepdf.new()
    try:
        made = ink_shading(mesh(pdf, kind, data, widths), colours(), Dictionary())
        made.grey(0)
    except Malformed:
        return
    made.white()
