"""Patches whose inks follow from the standard by arithmetic: every one within 0.005.

Sources: ISO 32000-2, 8.6 (colour), 11.3 (blending, alpha), 11.4 (groups), 11.5 (soft masks), 11.7.4 (overprinting),
8.11 (optional content). The blend functions are written down here anew, from 11.3.5.2, for shares of light.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name

from formats.pdf.made_pdf import Resources, form, group, inks_at, spot, states, write_page

WITHIN = 0.005
GROUND = {"Cyan": 0.2, "Magenta": 0.4, "Yellow": 0.6, "Black": 0.2}
"""Fifths are among the 256 greys that are drawn: what is measured is the arithmetic, not the rounding of its input."""
LAID = b"0.2 0.4 0.6 0.2 k 10 10 80 80 re f\n"
"""The ground as a page lays it."""
TOP = b"0.6 0.2 0 0.4 k 20 20 60 60 re f\n"
OVER = {"Cyan": 0.6, "Magenta": 0.2, "Yellow": 0.0, "Black": 0.4}
ALL_STATES = states(
    over={"OP": True, "OPM": 1},
    over0={"OP": True, "OPM": 0},
    fills={"OP": False, "op": True, "OPM": 1},
    plain={"OP": False},
    half={"ca": 0.5, "CA": 0.25},
    **{name: {"BM": Name(f"/{name}")} for name in ("Multiply", "Screen", "Overlay", "Darken", "Lighten")},
    **{name: {"BM": Name(f"/{name}")} for name in ("ColorDodge", "ColorBurn", "HardLight", "SoftLight")},
    **{name: {"BM": Name(f"/{name}")} for name in ("Difference", "Exclusion", "Normal", "Compatible")},
    listed={"BM": Array([Name("/NoSuch"), Name.Multiply])},
)


@dataclass(frozen=True)
class Patch:
    content: bytes
    inks: dict[str, float]
    resources: Resources = field(default=lambda _: {})
    at: tuple[float, float] = (50, 50)


def soft_light(b: float, s: float) -> float:
    if s <= 0.5:
        return b - (1 - 2 * s) * b * (1 - b)
    d = ((16 * b - 12) * b + 4) * b if b <= 0.25 else b**0.5
    return b + (2 * s - 1) * (d - b)


def hard_light(b: float, s: float) -> float:
    return 2 * b * s if s <= 0.5 else b + (2 * s - 1) - b * (2 * s - 1)


BLENDS: dict[str, Callable[[float, float], float]] = {
    "Multiply": lambda b, s: b * s,
    "Screen": lambda b, s: b + s - b * s,
    "Overlay": lambda b, s: hard_light(s, b),
    "Darken": min,
    "Lighten": max,
    "ColorDodge": lambda b, s: 0.0 if b == 0 else (1.0 if b >= 1 - s else b / (1 - s)),
    "ColorBurn": lambda b, s: 1.0 if b == 1 else (0.0 if 1 - b >= s else 1 - (1 - b) / s),
    "HardLight": hard_light,
    "SoftLight": soft_light,
    "Difference": lambda b, s: abs(b - s),
    "Exclusion": lambda b, s: b + s - 2 * b * s,
}


def blended(mode: str) -> dict[str, float]:
    return {ink: 1 - BLENDS[mode](1 - GROUND[ink], 1 - OVER[ink]) for ink in GROUND}


def mixed(part: float, top: dict[str, float], ground: dict[str, float] = GROUND) -> dict[str, float]:
    return {ink: (1 - part) * ground[ink] + part * top[ink] for ink in ground}


def black(amount: float = 1.0) -> dict[str, float]:
    return {"Cyan": 0.0, "Magenta": 0.0, "Yellow": 0.0, "Black": amount}


def state_resources(_: pikepdf.Pdf) -> dict[str, Any]:
    return dict(ALL_STATES)


def with_spot(pdf: pikepdf.Pdf) -> dict[str, Any]:
    return {"/ColorSpace": Dictionary({"/Gold": spot(pdf, "Gold")}), **ALL_STATES}


def with_form(content: bytes, **entries: Any) -> Resources:
    def made(pdf: pikepdf.Pdf) -> dict[str, Any]:
        inner = form(pdf, content, with_spot(pdf), **entries)
        return {"/XObject": Dictionary({"/F": inner}), **with_spot(pdf)}

    return made


def masked(tone: bytes, *, way: str = "Luminosity", backdrop: list[float] | None = None) -> Resources:
    """A state with a soft mask: its group paints the left half of the page with ``tone``."""

    def made(pdf: pikepdf.Pdf) -> dict[str, Any]:
        mask = Dictionary(S=Name(f"/{way}"), G=form(pdf, tone, ALL_STATES, Group=group(isolated=True)))
        if backdrop is not None:
            mask["/BC"] = Array(backdrop)
        return states(masked={"SMask": mask}, bare={"SMask": Name.None_})

    return made


def tiled(content: bytes, *, coloured: bool = True) -> Resources:
    def made(pdf: pikepdf.Pdf) -> dict[str, Any]:
        tile = form(pdf, content, with_spot(pdf))
        del tile["/Subtype"]
        tile["/Type"], tile["/PatternType"], tile["/TilingType"] = Name.Pattern, 1, 1
        tile["/PaintType"] = 1 if coloured else 2
        tile["/BBox"], tile["/XStep"], tile["/YStep"] = Array([0, 0, 25, 25]), 25, 25
        spaces = Dictionary({"/Plain": Array([Name.Pattern, Name.DeviceCMYK])})
        return {"/Pattern": Dictionary({"/T": tile}), "/ColorSpace": spaces, **ALL_STATES}

    return made


def layers(pdf: pikepdf.Pdf) -> dict[str, Any]:
    """Two layers of which ``/Off`` is off."""
    on, off = (pdf.make_indirect(Dictionary(Type=Name.OCG, Name=each)) for each in ("on", "off"))
    pdf.Root["/OCProperties"] = Dictionary(OCGs=Array([on, off]), D=Dictionary(OFF=Array([off])))
    either = Dictionary(Type=Name.OCMD, OCGs=Array([on, off]), P=Name.AllOn)
    neither = Dictionary(Type=Name.OCMD, VE=Array([Name.Not, off]))
    properties = {"/On": on, "/Off": off, "/Both": pdf.make_indirect(either), "/NotOff": pdf.make_indirect(neither)}
    hidden = form(pdf, TOP, {}, OC=off)
    return {"/Properties": Dictionary(properties), "/XObject": Dictionary({"/F": hidden})}


def drawn_letters(content: bytes) -> Resources:
    """A Type 3 font whose letter ``a`` fills a square of the page."""

    def made(pdf: pikepdf.Pdf) -> dict[str, Any]:
        letter = pdf.make_stream(content)
        font = Dictionary(
            Type=Name.Font,
            Subtype=Name.Type3,
            FontBBox=[0, 0, 1000, 1000],
            FontMatrix=[0.001, 0, 0, 0.001, 0, 0],
            CharProcs=Dictionary({"/a": letter}),
            Encoding=Dictionary(Type=Name.Encoding, Differences=Array([97, Name("/a")])),
            FirstChar=97,
            LastChar=97,
            Widths=[1000],
            Resources=Dictionary(),
        )
        return {"/Font": Dictionary({"/T3": pdf.make_indirect(font)}), **ALL_STATES}

    return made


SHOWN = b"BT /T3 60 Tf 20 20 Td (a) Tj ET\n"
BLACK_TOP = b"0 0 0 1 k 20 20 60 60 re f\n"
GOLD = {**GROUND, "Gold": 0.7}

PATCHES: dict[str, Patch] = {
    "ground": Patch(LAID, GROUND),
    "grey is black ink": Patch(b"0.3 g 10 10 80 80 re f", black(0.7)),
    "laid over knocks out": Patch(LAID + TOP, OVER),
    "grey knocks out colour": Patch(LAID + b"0 g 20 20 60 60 re f", black()),
    "overprint mode 1 leaves inks of none": Patch(
        LAID + b"/over gs " + BLACK_TOP, {**GROUND, "Black": 1.0}, state_resources
    ),
    "overprint mode 0 paints none": Patch(LAID + b"/over0 gs " + BLACK_TOP, black(), state_resources),
    "overprint of grey": Patch(LAID + b"/over gs 0 g 20 20 60 60 re f", black(), state_resources),
    "overprint for areas only": Patch(LAID + b"/fills gs " + BLACK_TOP, {**GROUND, "Black": 1.0}, state_resources),
    "overprint ended": Patch(LAID + b"/over gs /plain gs " + BLACK_TOP, black(), state_resources),
    "overprint kept within q and Q": Patch(LAID + b"q /over gs Q " + BLACK_TOP, black(), state_resources),
    "overprinting line": Patch(
        LAID + b"/over gs 0 0 0 1 K 20 w 0 50 m 100 50 l S", {**GROUND, "Black": 1.0}, state_resources
    ),
    "line": Patch(LAID + b"0 0.5 0 0 K 20 w 0 50 m 100 50 l S", {**black(0.0), "Magenta": 0.5}),
    "area and line": Patch(b"0 0.5 0 0 K 1 0 0 0 k 20 w 50 10 40 80 re B", {**black(0.0), "Magenta": 0.5}),
    "even-odd hole": Patch(LAID + b"1 0 0 0 k 20 20 60 60 re 40 40 20 20 re f*", GROUND),
    "winding hole": Patch(b"1 0 0 0 k 20 20 60 60 re 40 40 20 20 re f", {**black(0.0), "Cyan": 1.0}),
    "clip within": Patch(LAID + b"q 40 40 20 20 re W n " + TOP + b"Q", OVER),
    "clip without": Patch(LAID + b"q 40 40 20 20 re W n " + TOP + b"Q", GROUND, at=(30, 30)),
    "clip by what is left out": Patch(
        LAID + b"/over gs q 0 0 0 1 k 40 40 20 20 re W f 0.5 0 0 0 k 0 0 100 100 re f Q",
        {**GROUND, "Cyan": 0.5, "Black": 1.0},
        state_resources,
    ),
    "spot knocks out": Patch(LAID + b"/Gold cs 0.7 scn 20 20 60 60 re f", {**black(0.0), "Gold": 0.7}, with_spot),
    "spot overprints": Patch(LAID + b"/over gs /Gold cs 0.7 scn 20 20 60 60 re f", GOLD, with_spot),
    "process over spot": Patch(b"/Gold cs 0.7 scn 10 10 80 80 re f " + TOP, {**OVER, "Gold": 0.0}, with_spot),
    "process overprints spot": Patch(
        b"/Gold cs 0.7 scn 10 10 80 80 re f /over gs " + BLACK_TOP, {**black(), "Gold": 0.7}, with_spot
    ),
    "spot without a tint is full": Patch(b"/Gold cs 20 20 60 60 re f", {**black(0.0), "Gold": 1.0}, with_spot),
    "half there": Patch(LAID + b"/half gs " + TOP, mixed(0.5, OVER), state_resources),
    "line a quarter there": Patch(
        LAID + b"/half gs 0 0 0 1 K 20 w 0 50 m 100 50 l S", mixed(0.25, black()), state_resources
    ),
    **{
        f"blend {mode}": Patch(LAID + b"/%s gs " % mode.encode() + TOP, blended(mode), state_resources)
        for mode in BLENDS
    },
    "blend Compatible": Patch(LAID + b"/Compatible gs " + TOP, OVER, state_resources),
    "first blend mode known": Patch(LAID + b"/listed gs " + TOP, blended("Multiply"), state_resources),
    "blend ended": Patch(LAID + b"/Multiply gs /Normal gs " + TOP, OVER, state_resources),
    "spot multiplied": Patch(
        b"/Gold cs 0.7 scn 10 10 80 80 re f /Multiply gs 0.5 scn 20 20 60 60 re f",
        {**black(0.0), "Gold": 1 - 0.3 * 0.5},
        with_spot,
    ),
    "spot takes Normal for Difference": Patch(
        b"/Gold cs 0.7 scn 10 10 80 80 re f /Difference gs 0.5 scn 20 20 60 60 re f",
        # White light behind: the process inks of a spot are 0, and |1 - 1| of light is full ink.
        {**black(1.0), "Cyan": 1.0, "Magenta": 1.0, "Yellow": 1.0, "Gold": 0.5},
        with_spot,
    ),
    "form inherits colour": Patch(b"0 1 0 0 k /F Do", {**black(0.0), "Magenta": 1.0}, with_form(b"20 20 60 60 re f")),
    "form inherits overprint": Patch(LAID + b"/over gs /F Do", {**GROUND, "Black": 1.0}, with_form(BLACK_TOP)),
    "form turned and moved": Patch(
        b"q 0 1 -1 0 100 0 cm /F Do Q",
        {**black(0.0), "Cyan": 1.0},
        with_form(b"1 0 0 0 k 0 60 20 40 re f"),
        at=(20, 10),
    ),
    "group half there": Patch(
        LAID + b"/half gs /F Do", mixed(0.5, OVER), with_form(b"0 0 0 1 k 20 20 60 60 re f " + TOP, Group=group())
    ),
    "isolated group blends within": Patch(
        LAID + b"/F Do", OVER, with_form(b"/Multiply gs " + TOP, Group=group(isolated=True))
    ),
    "group not isolated blends with what lies below": Patch(
        LAID + b"/F Do", blended("Multiply"), with_form(b"/Multiply gs " + TOP, Group=group())
    ),
    "group multiplied": Patch(LAID + b"/Multiply gs /F Do", blended("Multiply"), with_form(TOP, Group=group())),
    "overprint in a group": Patch(
        LAID + b"/F Do", {**GROUND, "Black": 1.0}, with_form(b"/over gs " + BLACK_TOP, Group=group())
    ),
    "overprint in an isolated group hides what lies below": Patch(
        LAID + b"/F Do", black(), with_form(b"/over gs " + BLACK_TOP, Group=group(isolated=True))
    ),
    "overprint in an isolated group leaves what is in it": Patch(
        LAID + b"/F Do",
        {**OVER, "Black": 1.0},
        with_form(TOP + b"/over gs " + BLACK_TOP, Group=group(isolated=True)),
    ),
    "mask of tone": Patch(LAID + b"/masked gs " + TOP, mixed(0.25, OVER), masked(b"0.25 g 0 0 100 100 re f")),
    "mask of process tone": Patch(
        LAID + b"/masked gs " + TOP, mixed(1 - 0.59 * 0.5 - 0.2, OVER), masked(b"0 0.5 0 0.2 k 0 0 100 100 re f")
    ),
    "mask outside its group": Patch(LAID + b"/masked gs " + TOP, GROUND, masked(b"1 g 0 0 40 100 re f")),
    "mask with a backdrop": Patch(
        LAID + b"/masked gs " + TOP,
        mixed(0.6, OVER),
        masked(b"1 g 0 0 40 100 re f", backdrop=[0.0, 0.0, 0.0, 0.4]),
    ),
    "mask of shape": Patch(
        LAID + b"/masked gs " + TOP, mixed(0.5, OVER), masked(b"/half gs 0 g 0 0 100 100 re f", way="Alpha")
    ),
    "mask ended": Patch(LAID + b"/masked gs /bare gs " + TOP, OVER, masked(b"0.25 g 0 0 100 100 re f")),
    "tile": Patch(b"/Pattern cs /T scn 0 0 100 100 re f", OVER, tiled(b"0.6 0.2 0 0.4 k 0 0 25 25 re f")),
    "tile with a hole": Patch(
        LAID + b"/Pattern cs /T scn 0 0 100 100 re f", GROUND, tiled(b"0.6 0.2 0 0.4 k 0 0 10 25 re f"), at=(65, 50)
    ),
    "tile without colours": Patch(
        b"/Plain cs 0.6 0.2 0 0.4 /T scn 0 0 100 100 re f", OVER, tiled(b"0 0 25 25 re f", coloured=False)
    ),
    "tile without colours overprints": Patch(
        LAID + b"/over gs /Plain cs 0 0 0 1 /T scn 0 0 100 100 re f",
        # Mode 1 is for colours of DeviceCMYK as such; of a pattern's underlying space every ink is painted.
        black(),
        tiled(b"0 0 25 25 re f", coloured=False),
    ),
    "layer on": Patch(LAID + b"/OC /On BDC " + TOP + b"EMC", OVER, layers),
    "layer off": Patch(LAID + b"/OC /Off BDC " + TOP + b"EMC", GROUND, layers),
    "layer off around others": Patch(LAID + b"/OC /Off BDC /Span BMC EMC " + TOP + b"EMC", GROUND, layers),
    "after a layer": Patch(LAID + b"/OC /Off BDC EMC " + TOP, OVER, layers),
    "layers all on": Patch(LAID + b"/OC /Both BDC " + TOP + b"EMC", GROUND, layers),
    "layer by an expression": Patch(LAID + b"/OC /NotOff BDC " + TOP + b"EMC", OVER, layers),
    "form of a layer": Patch(LAID + b"/F Do", GROUND, layers),
    "letter with colours": Patch(LAID + SHOWN, OVER, drawn_letters(b"1000 0 d0 0.6 0.2 0 0.4 k 0 0 1000 1000 re f")),
    "letter with colours that overprints": Patch(
        LAID + b"/over gs " + SHOWN,
        {**GROUND, "Black": 1.0},
        drawn_letters(b"1000 0 d0 0 0 0 1 k 0 0 1000 1000 re f"),
    ),
    "letter of the text's colour": Patch(
        LAID + b"0.6 0.2 0 0.4 k " + SHOWN, OVER, drawn_letters(b"1000 0 0 0 1000 1000 d1 0 0 1000 1000 re f")
    ),
    "letter not shown": Patch(
        LAID + b"3 Tr " + SHOWN, GROUND, drawn_letters(b"1000 0 d0 0.6 0.2 0 0.4 k 0 0 1000 1000 re f")
    ),
}


@pytest.mark.parametrize("name", PATCHES)
def test_inks_of_a_patch(name: str, tmp_path: Path) -> None:
    patch = PATCHES[name]
    found = inks_at(write_page(tmp_path / "patch.pdf", patch.content, patch.resources), *patch.at)
    assert found == pytest.approx(dict.fromkeys(found, 0.0) | patch.inks, abs=WITHIN)


HALF = 0.5 / 255


def rounding(mode: str, b: float, s: float) -> float:
    """Half a grey of each colour, as steep as the blend function is there, and a grey of the result, which the library
    cuts off rather than rounds."""
    near = [BLENDS[mode](b + db, s + ds) for db in (-HALF, HALF) for ds in (-HALF, HALF)]
    return max(abs(each - BLENDS[mode](b, s)) for each in near) + 2 * HALF


@pytest.mark.parametrize("mode", BLENDS)
def test_any_tint_is_as_true_as_256_greys_allow(mode: str, tmp_path: Path) -> None:
    """Between the greys more than 0.005 can be lost where a blend function is steep, and no more than this."""
    content = b"0.5 0.3 0.7 0.1 k 10 10 80 80 re f /%s gs 0.3 0.5 0.1 0.3 k 20 20 60 60 re f" % mode.encode()
    found = inks_at(write_page(tmp_path / "patch.pdf", content, state_resources), 50, 50)
    for ink, ground, top in zip(found, (0.5, 0.3, 0.7, 0.1), (0.3, 0.5, 0.1, 0.3), strict=True):
        wanted = 1 - BLENDS[mode](1 - ground, 1 - top)
        assert found[ink] == pytest.approx(wanted, abs=rounding(mode, 1 - ground, 1 - top) + 1e-9), ink
