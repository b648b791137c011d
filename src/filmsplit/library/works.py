"""Works for the demo presses, drawn in code: letterhead, form, posters, halftone page, two colours, a very large plate.

All of it is invented: the workshop, its customers and every word on the plates. Sizes, runs and stocks are those of
small presses by common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from filmsplit.artwork import Placement, Sheet, WorkStyle
from filmsplit.library.work_parts import Part, Screen, Solid
from filmsplit.library.work_plates import Pen, WorkPlate
from filmsplit.messages import label

DEMO_JOB = "form"
"""The work the demo sets a press up for."""
GIGAPIXEL = "gigapixel"
"""The work that is drawn only when it is asked for."""
GRIPPER_MM = 10.0
FINE, COARSE, STEEP = (6, 6), (8, 8), (8, 3)
"""Screens by their cells in dots: 150 and 112 lines an inch at 45 degrees, 149 at 21, at 50 dots/mm."""
SENTENCES = (
    "At every parting half of the ink goes on and half of it stays.",
    "A roller that is set too hard runs hot and wears at its ends.",
    "Nobody sees the film, and everybody sees the sheet.",
    "Turn the key, wait for the rollers, and look again.",
    "Water first, then ink, and never a hand near a turning roller.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A job as it comes to the press: a plate for each unit in ``units``, where it lies, and what is printed on."""

    slug: str
    press: str
    units: tuple[str, ...]
    plates: tuple[WorkPlate, ...]
    placement: Placement
    stock: str
    run: int

    @property
    def title(self) -> str:
        """Its name; says that it is invented."""
        return label(f"work.{self.slug}")

    def file_name(self, plate: WorkPlate) -> str:
        """The name of a plate's file: a work in one ink has one, otherwise one for each ink."""
        return f"{self.slug}.tif" if len(self.plates) == 1 else f"{self.slug}-{plate.ink}.tif"


def demo_works(*, regular: bytes, bold: bytes) -> dict[str, Work]:
    """Every work by its slug; the two fonts are font files. Nothing large is drawn before a plate is asked for rows."""
    pen = partial(Pen, regular=regular, bold=bold)
    ordinary = pen(dots_per_mm=50)
    works = (
        _letterhead(ordinary),
        _form(ordinary),
        _poster(ordinary),
        _window(ordinary),
        _halftones(ordinary),
        _two_colours(ordinary),
        _gigapixel(pen(dots_per_mm=100)),
    )
    return {work.slug: work for work in works}


def _placed(face_mm: float, *, across_mm: float, along_mm: float, picture_mm: tuple[float, float]) -> Placement:
    """Sheet and picture in the middle of the face, the picture's top on the grippers' inner edge."""
    sheet = Sheet(length_mm=along_mm, width_mm=across_mm, side_mm=(face_mm - across_mm) / 2, gripper_mm=GRIPPER_MM)
    return Placement(sheet=sheet, lead_mm=GRIPPER_MM, side_mm=(across_mm - picture_mm[1]) / 2)


def _lines(count: int, *, offset: int = 0) -> list[str]:
    return [SENTENCES[(number + offset) % len(SENTENCES)] for number in range(count)]


def _plate(pen: Pen, size_mm: tuple[int, int], parts: Iterator[Part], *, ink: str = "process-black") -> WorkPlate:
    return WorkPlate(ink=ink, size_mm=size_mm, dots_per_mm=pen.dots_per_mm, parts=tuple(parts))


def _letterhead(pen: Pen) -> Work:
    """Two per cent of an A4 sheet: a head, a mark, a line at the foot."""

    def parts() -> Iterator[Part]:
        yield pen.at((8, 16, 22, 22), Solid())
        yield pen.at((8, 46, 14, 140), pen.text(["Saltmarsh Community Print Workshop"], size_mm=6.8, bold=True))
        yield pen.at((23, 46, 6, 140), pen.text(["An invented workshop at no address"], size_mm=4))
        yield pen.at((34, 16, 0.8, 178), Solid())
        yield pen.at((262, 16, 0.8, 178), Solid())
        yield pen.at((266, 16, 12, 178), pen.text(_lines(2), size_mm=3.4))

    size = (285, 210)
    return Work(
        slug="letterhead",
        press="heron",
        units=("A",),
        plates=(_plate(pen, size, parts()),),
        placement=_placed(340, across_mm=210, along_mm=297, picture_mm=size),
        stock="laid writing paper, 90 g/m²",
        run=2000,
    )


def _form(pen: Pen) -> Work:
    """An order form, two beside each other by work and turn: rules, boxes, tinted fields, a solid head."""

    def parts() -> Iterator[Part]:
        yield pen.at((6, 6, 16, 80), Solid())
        yield pen.at((6, 90, 16, 48), pen.text(["Work order"], size_mm=8, bold=True))
        for row in range(12):
            top = 28 + 12 * row
            yield pen.at((top, 6, 0.4, 132), Solid())
            yield pen.at((top + 2, 6, 8, 28), pen.text([f"Item {row + 1}"], size_mm=4.2))
            yield pen.at((top + 1.5, 36, 9, 70), Screen(0.10, FINE))
            yield pen.at((top + 1.5, 108, 9, 30), Screen(0.25 if row % 3 else 0.40, FINE))
        yield pen.at((172, 6, 0.4, 132), Solid())
        yield pen.at((176, 6, 16, 132), pen.text(_lines(3, offset=1), size_mm=3.4))

    size = (196, 144)
    placed = _placed(340, across_mm=310, along_mm=215, picture_mm=size)
    assert placed.sheet is not None
    return Work(
        slug="form",
        press="wagtail",
        units=("A",),
        plates=(_plate(pen, size, parts()),),
        placement=Placement(sheet=placed.sheet, lead_mm=GRIPPER_MM, side_mm=6.0, style=WorkStyle.WORK_AND_TURN),
        stock="uncoated offset, 80 g/m²",
        run=3000,
    )


def _poster(pen: Pen) -> Work:
    """Large letters, a solid panel that stops in mid sheet, a tint: zones that want very different keys."""

    def parts() -> Iterator[Part]:
        yield pen.at((10, 10, 90, 280), pen.text(["OPEN", "PRESS DAY"], size_mm=36, bold=True))
        yield pen.at((120, 10, 150, 130), Solid())
        yield pen.at((120, 150, 150, 140), Screen(0.30, COARSE))
        yield pen.at((290, 10, 60, 280), pen.text(["every spring", "in no such town"], size_mm=22))
        yield pen.at((370, 10, 50, 280), pen.text(_lines(5), size_mm=6))

    size = (430, 300)
    return Work(
        slug="poster",
        press="heron",
        units=("A",),
        plates=(_plate(pen, size, parts()),),
        placement=_placed(340, across_mm=320, along_mm=450, picture_mm=size),
        stock="coated, silk, 135 g/m²",
        run=400,
    )


def _window(pen: Pen) -> Work:
    """An even tint with a bare window near its lead edge: the layout that ghosts, a turn of each form roller on."""

    def parts() -> Iterator[Part]:
        tint = Screen(0.60, COARSE)
        yield pen.at((0, 0, 40, 260), tint)
        yield pen.at((40, 0, 30, 80), tint)
        yield pen.at((46, 90, 18, 80), pen.text(["Look out"], size_mm=14, bold=True))
        yield pen.at((40, 180, 30, 80), tint)
        yield pen.at((70, 0, 290, 260), tint)

    size = (360, 260)
    return Work(
        slug="window",
        press="heron",
        units=("A",),
        plates=(_plate(pen, size, parts()),),
        placement=_placed(340, across_mm=300, along_mm=420, picture_mm=size),
        stock="coated, silk, 135 g/m²",
        run=800,
    )


def _halftones(pen: Pen) -> Work:
    """A page of tints as a picture has them: light sky above, dark ground below, a bright spot to one side."""
    size = (300, 240)
    return Work(
        slug="halftone-page",
        press="dipper",
        units=("A",),
        plates=(_plate(pen, size, _picture(pen, (size, 20), cell=FINE)),),
        placement=_placed(280, across_mm=260, along_mm=330, picture_mm=size),
        stock="coated, gloss, 115 g/m²",
        run=1500,
    )


def _picture(pen: Pen, area: tuple[tuple[int, int], int], *, cell: tuple[int, int], top_mm: int = 0) -> Iterator[Part]:
    """An even-sided picture of tints, ``area`` being its size and that of a patch in mm."""
    (down, across), patch = area
    for top in range(0, down, patch):
        for left in range(0, across, patch):
            y, x = (top + patch / 2) / down, (left + patch / 2) / across
            shine = 0.5 * np.exp(-((x - 0.7) ** 2 + (y - 0.35) ** 2) / 0.03)
            share = float(np.clip(0.12 + 0.7 * y**1.5 + 0.15 * x - shine, 0.02, 0.95))
            yield pen.at((top_mm + top, left, patch, patch), Screen(round(share, 2), cell))


def _two_colours(pen: Pen) -> Work:
    """Black over a second colour, one plate for each unit of a press of two."""

    def black() -> Iterator[Part]:
        yield pen.at((10, 10, 30, 220), pen.text(["Evening classes"], size_mm=22, bold=True))
        yield pen.at((60, 10, 120, 112), pen.text(_lines(18), size_mm=3.8))
        yield pen.at((60, 125, 120, 105), Screen(0.50, FINE))
        yield pen.at((300, 10, 1, 220), Solid())

    def cyan() -> Iterator[Part]:
        yield pen.at((0, 0, 50, 240), Screen(0.20, STEEP))
        yield pen.at((60, 125, 120, 105), Screen(0.35, STEEP))
        yield pen.at((200, 10, 80, 220), Solid())

    size = (320, 240)
    plates = (_plate(pen, size, black()), _plate(pen, size, cyan(), ink="process-cyan"))
    return Work(
        slug="two-colours",
        press="lapwing",
        units=("1", "2"),
        plates=plates,
        placement=_placed(300, across_mm=260, along_mm=350, picture_mm=size),
        stock="coated, silk, 150 g/m²",
        run=1000,
    )


def _gigapixel(pen: Pen) -> Work:
    """A full sheet at 2 540 dots an inch, nearly two thousand million of them."""

    def parts() -> Iterator[Part]:
        yield from _picture(pen, ((300, 510), 30), cell=(12, 12))
        yield pen.at((304, 10, 14, 120), pen.text(["No end of dots"], size_mm=9, bold=True))
        yield pen.at((322, 10, 10, 490), Solid())

    size = (345, 510)
    return Work(
        slug=GIGAPIXEL,
        press="bittern",
        units=("A",),
        plates=(_plate(pen, size, parts()),),
        placement=_placed(540, across_mm=520, along_mm=360, picture_mm=size),
        stock="coated, gloss, 135 g/m²",
        run=800,
    )
