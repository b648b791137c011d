"""Pictures of what lies where: a plate file laid on the plate of a unit, and drawn."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from filmsplit.actions.demo_works import WorkWritten
from filmsplit.actions.find import find_press
from filmsplit.artwork import CoverageMap, Placement, Plate, doubts, place, zone_cuts
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.heading import subject_of
from filmsplit.figures.plate_picture import draw_plate
from filmsplit.figures.plate_seen import PlateSeen
from filmsplit.formats.coverage_file import read_coverage
from filmsplit.formats.coverage_options import CoverageOptions
from filmsplit.press import Press, Unit
from filmsplit.simulation.from_press import ink_network, width_of
from filmsplit.studies.film_setting import zone_edges_mm


def draw_work_plate(written: WorkWritten, number: int) -> Drawing:
    """Plate ``number`` (from 0) of a demo work on its unit, read back from its file as anybody's plate would be."""
    work, plate = written.work, written.work.plates[number]
    press = find_press(work.press).press
    unit = press.unit(work.units[number])
    picture_mm = (float(plate.size_mm[0]), float(plate.size_mm[1]))
    _, cuts = zone_cuts(work.placement, _zones(unit), picture_mm=picture_mm)
    read = read_coverage(written.files[number], CoverageOptions(cuts_across_mm=cuts)).maps[0]
    return draw_map(press, unit, read, placement=work.placement, picture_mm=picture_mm)


def draw_map(
    press: Press, unit: Unit, read: CoverageMap, *, placement: Placement, picture_mm: tuple[float, float]
) -> Drawing:
    """A map as it was read, laid on the plate of ``unit`` and drawn. :class:`Refusal` where it cannot lie there."""
    cylinder = unit.cylinders.plate
    plate = Plate.even(cylinder.circumference_mm, width_of(unit), gap_mm=cylinder.gap_mm)
    placed, told = place(read, placement, plate)
    seen = PlateSeen(
        placed=placed,
        plate=plate,
        placement=placement,
        zone_edges_mm=_zones(unit),
        picture_mm=picture_mm,
        told=(*told, *doubts(placed)),
    )
    return draw_plate(subject_of(press, unit), seen)


def picture_file(plate: Path) -> Path:
    """Where the picture of a plate file goes: beside it."""
    return plate.with_name(f"{plate.stem}-plate.svg")


def _zones(unit: Unit) -> np.ndarray:
    return np.array(zone_edges_mm(unit, ink_network(unit)))
