"""What is odd about a unit as a whole: cylinders that do not run together, ink or water that cannot arrive."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from filmsplit.messages import Problem
from filmsplit.press.bodies import joints_of
from filmsplit.press.press import Press, Unit
from filmsplit.press.roller import Roller
from filmsplit.press.words import Role, System

CIRCUMFERENCE_SHARE = 0.01
"""Plate and blanket are dressed to one circumference; packing moves it by a few tenths of a per cent at most."""
GAP_DIFFERENCE_MM = 2.0
"""Plate and blanket gap count as the same within this."""
ZONES_OVER_MM = 2.0
"""Zones may be wider than the fountain roller by this: nobody measures them closer."""


def unit_problems(press: Press, unit: Unit) -> tuple[Problem, ...]:
    """Everything a look at the unit as a whole shows."""
    return (*_cylinders(press, unit), *_ink(unit), *_water(unit), *_joined(unit), *_zones(press, unit))


def _cylinders(press: Press, unit: Unit) -> Iterator[Problem]:
    """A blanket place must always meet the same plate place."""
    plate, blanket = unit.cylinders.plate, unit.cylinders.blanket
    path = ("units", unit.id, "cylinders", "blanket")
    off = blanket.diameter_mm / plate.diameter_mm - 1
    if abs(off) > CIRCUMFERENCE_SHARE:
        values = {
            "unit": unit.id,
            "plate_mm": plate.circumference_mm,
            "blanket_mm": blanket.circumference_mm,
            "percent": 100 * abs(off),
        }
        yield Problem("cylinders-differ", values, path)
    if abs(plate.gap_mm - blanket.gap_mm) > GAP_DIFFERENCE_MM:
        gaps = [("units", unit.id, "cylinders", name, "gap_mm") for name in ("plate", "blanket")]
        slug = "gaps-differ-assumed" if any(press.is_assumed(*gap) for gap in gaps) else "gaps-differ"
        yield Problem(slug, {"unit": unit.id, "plate_mm": plate.gap_mm, "blanket_mm": blanket.gap_mm}, gaps[1])


def _ink(unit: Unit) -> Iterator[Problem]:
    """Ink stays on ink and shared rollers on its way from the fountain roller to the plate."""
    sources = [roller.id for roller in unit.rollers if roller.role is Role.FOUNTAIN and _carries_ink(roller)]
    if unit.fountain is not None and unit.fountain.roller in unit.member_ids:
        sources = [unit.fountain.roller]
    if not sources:
        yield Problem("no-ink-source", {"unit": unit.id}, ("units", unit.id))
    for source in sources:
        if not _reaches_plate(unit, source, _carries_ink):
            path = ("units", unit.id, "rollers", source)
            yield Problem("no-way-to-plate", {"unit": unit.id, "source": source}, path)


def _water(unit: Unit) -> Iterator[Problem]:
    """Water may reach the plate on any roller: its own form roller, or one that carries ink."""
    for roller in unit.rollers:
        if roller.role is Role.PAN and not _reaches_plate(unit, roller.id, lambda _: True):
            path = ("units", unit.id, "rollers", roller.id)
            yield Problem("no-water-to-plate", {"unit": unit.id, "source": roller.id}, path)


def _carries_ink(roller: Roller) -> bool:
    return roller.system in (System.INK, System.SHARED)


def _reaches_plate(unit: Unit, source: str, carries: Callable[[Roller], bool]) -> bool:
    """Whether contacts lead from ``source`` to the plate over rollers that carry the liquid."""
    through = {roller.id for roller in unit.rollers if carries(roller)} | {"plate", source}
    joints = [joint for joint in joints_of(unit) if joint.a in through and joint.b in through]
    reached, waiting = {source}, [source]
    while waiting:
        name = waiting.pop()
        if name == "plate":
            return True
        new = {joint.other(name) for joint in joints if joint.joins(name)} - reached
        reached |= new
        waiting += new
    return False


def _joined(unit: Unit) -> Iterator[Problem]:
    """Rollers through which ink and dampening solution meet before the plate."""
    shared = {roller.id for roller in unit.rollers if roller.system is System.SHARED}
    system = {roller.id: roller.system for roller in unit.rollers}
    for joint in joints_of(unit):
        if {system.get(joint.a), system.get(joint.b)} == {System.INK, System.DAMPENING}:
            shared.add(joint.id)
    if shared:
        named = ", ".join(sorted(shared))
        yield Problem("ink-and-dampening-joined", {"unit": unit.id, "by": named}, ("units", unit.id))


def _zones(press: Press, unit: Unit) -> Iterator[Problem]:
    """Ink zones that reach beyond the fountain roller."""
    fountain = unit.fountain
    if fountain is None or fountain.roller not in {roller.id for roller in unit.rollers}:
        return
    face_mm = unit.roller(fountain.roller).face_mm
    end_mm = fountain.first_zone_mm + sum(fountain.zone_widths_mm)
    assumed = press.is_assumed("units", unit.id, "rollers", fountain.roller, "face_mm") or press.is_assumed(
        "units", unit.id, "fountain", "zone_widths_mm"
    )
    if end_mm > face_mm + ZONES_OVER_MM and not assumed:
        values = {"unit": unit.id, "end_mm": end_mm, "roller": fountain.roller, "face_mm": face_mm}
        yield Problem("zones-beyond-roller", values, ("units", unit.id, "fountain", "zone_widths_mm"))
