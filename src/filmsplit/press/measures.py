"""What counts for a purpose, as numbers that an unknown value can move."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from filmsplit.press.press import Press, Unit
from filmsplit.press.repeats import repeat_of
from filmsplit.press.surfaces import ink_area
from filmsplit.press.turning import at_press_speed
from filmsplit.press.words import MotionKind


@dataclass(frozen=True, slots=True)
class Quantity:
    """One number that counts: what it is (key of a label), in which unit of the press, and of which member."""

    label_key: str
    unit: str
    member: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """All the numbers that count for a purpose, in one unit of measure.

    ``sees_all`` is false for a stand-in that cannot see everything that counts: an unknown it does not move is then
    listed without an effect instead of with an effect of nothing.
    """

    unit: str
    quantities: Callable[[Press], Mapping[Quantity, float]]
    sees_all: bool


REPEAT, CYCLE, GAP, INK_AREA = "quantity.repeat", "quantity.cycle", "quantity.gap", "quantity.ink_area"


def mark_lengths_mm(press: Press) -> Mapping[Quantity, float]:
    """Every length that marks on a sheet can repeat by: surfaces, cycles, and the gap between its two edges."""
    lengths: dict[Quantity, float] = {}
    for unit in press.units:
        lengths |= _repeats_mm(unit) | _cycles_mm(unit)
        lengths[Quantity(GAP, unit.id, "plate")] = unit.cylinders.plate.gap_mm
    return lengths


def _repeats_mm(unit: Unit) -> dict[Quantity, float]:
    rolling = [roller.id for roller in unit.rollers if roller.id in at_press_speed(unit)]
    return {Quantity(REPEAT, unit.id, id): repeat_of(unit, id).length_mm for id in ("plate", "impression", *rolling)}


def _cycles_mm(unit: Unit) -> dict[Quantity, float]:
    plate_mm = unit.cylinders.plate.circumference_mm
    return {
        Quantity(CYCLE, unit.id, roller.id): roller.motion.cycle_rev * plate_mm
        for roller in unit.rollers
        if roller.motion.kind is not MotionKind.TURNS
    }


def ink_area_percent(press: Press) -> Mapping[Quantity, float]:
    """Ink-carrying surface of each unit as a share of the plate's, in per cent.

    A stand-in until the ink itself is computed: it says how much the train holds beside what the plate takes away,
    which governs how fast it answers. Strokes, feed and keys it cannot see.
    """
    shares = {unit.id: ink_area(press, unit).per_plate_area for unit in press.units}
    return {Quantity(INK_AREA, id, "plate"): 100 * share for id, share in shares.items() if share is not None}


MEASURES: Mapping[str, Measure] = MappingProxyType(
    {
        "marks": Measure(unit="mm", quantities=mark_lengths_mm, sees_all=True),
        "ink": Measure(unit="%", quantities=ink_area_percent, sees_all=False),
    }
)
"""The measure of each purpose that has one."""
