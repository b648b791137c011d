"""What fields must agree about: within one record, and between records that name each other."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from filmsplit.formats.press_fields import NONE, UNKNOWN
from filmsplit.formats.press_reading import Path, Reading
from filmsplit.formats.scalars import Fault, nearest, shown
from filmsplit.press import CYLINDER_IDS, Cylinder, Keys, Press, Roller, Sweep, Unit
from filmsplit.press.words import ContactKind, Role

ID_PATTERN = "[A-Za-z0-9][A-Za-z0-9_-]{0,23}"
"""Ids are short and plain: they stand in paths, file names, on drawings and on roller cards."""

RESERVED_IDS = frozenset({*CYLINDER_IDS, UNKNOWN, NONE})
UNIT_WORDS = frozenset({"edit"})
"""No ids of units: pages about the press as a whole have these addresses beside those of its units."""
BEARER_TOLERANCE_MM = 0.2
"""How far body + 2 x undercut may be from the bearer diameter: a pi tape and a feeler gauge (common practice)."""

Found = tuple[str, Fault] | None


def _lowest_below_highest(record: Any) -> Found:
    if record.lowest < record.highest:
        return None
    return "highest", Fault("press-file-empty-scale", {"lowest": record.lowest, "highest": record.highest})


def _cover_fits_roller(roller: Roller) -> Found:
    if roller.cover is None or 2 * roller.cover.thickness_mm < roller.diameter_mm:
        return None
    values = {"thickness": roller.cover.thickness_mm, "diameter": roller.diameter_mm}
    return "cover", Fault("press-file-cover-too-thick", values)


def _gap_fits_cylinder(cylinder: Cylinder) -> Found:
    if cylinder.gap_mm < cylinder.circumference_mm:
        return None
    values = {"gap": cylinder.gap_mm, "round": cylinder.circumference_mm}
    return "gap_mm", Fault("press-file-gap-too-long", values)


def _bearer_fits_undercut(cylinder: Cylinder) -> Found:
    if cylinder.bearer_diameter_mm is None or cylinder.undercut_mm == 0:
        return None
    bearer_mm = cylinder.body_diameter_mm + 2 * cylinder.undercut_mm
    if abs(bearer_mm - cylinder.bearer_diameter_mm) <= BEARER_TOLERANCE_MM:
        return None
    values = {"bearer": cylinder.bearer_diameter_mm, "expected": bearer_mm}
    return "bearer_diameter_mm", Fault("press-file-bearer-and-undercut", values)


def _id_is_plain(record: Press | Unit | Roller) -> Found:
    if record.id.casefold() in RESERVED_IDS:
        return "id", Fault("press-file-id-reserved", {"id": record.id})
    if not re.fullmatch(ID_PATTERN, record.id):
        return "id", Fault("press-file-id-not-plain", {"id": shown(record.id)})
    return None


def _unit_has_a_page(unit: Unit) -> Found:
    return ("id", Fault("press-file-unit-id-taken", {"id": unit.id})) if unit.id.casefold() in UNIT_WORDS else None


RECORD_RULES: Mapping[type, tuple[Callable[[Any], Found], ...]] = {
    Press: (_id_is_plain,),
    Unit: (_id_is_plain, _unit_has_a_page),
    Roller: (_id_is_plain, _cover_fits_roller),
    Keys: (_lowest_below_highest,),
    Sweep: (_lowest_below_highest,),
    Cylinder: (_gap_fits_cylinder, _bearer_fits_undercut),
}


def faults_of(record: Any) -> Iterator[tuple[str, Fault]]:
    """What does not agree within one record, with the field to point at."""
    for rule in RECORD_RULES.get(type(record), ()):
        found = rule(record)
        if found is not None:
            yield found


def check_references(reading: Reading) -> None:
    """Names that stand for something must stand for exactly one thing that exists."""
    _refuse_twins(reading, ("units",))
    for unit in (("units", id) for id in reading.items(("units",))):
        rollers = reading.items((*unit, "rollers"))
        _refuse_twins(reading, (*unit, "rollers"))
        _check_fountain(reading, unit, rollers)
        contacts = reading.items((*unit, "contacts"))
        for path in ((*unit, "contacts", id) for id in contacts):
            _check_members(reading, path, rollers)
            _check_slip(reading, path)
            _check_also_moves(reading, path, contacts)
        _refuse_twin_contacts(reading, (*unit, "contacts"))


def _refuse_twins(reading: Reading, path: Path) -> None:
    seen: dict[str, int] = {}
    for item, spot in reading.item_spots.get(path, ()):
        if item in seen:
            reading.complain("press-file-id-twice", (*path, item), spot=spot, id=shown(item), line=seen[item])
        seen.setdefault(item, spot.line)


def _check_fountain(reading: Reading, unit: Path, rollers: list[str]) -> None:
    path = (*unit, "fountain", "roller")
    named = reading.values.get(path)
    if named is None:
        return
    if named not in rollers:
        reading.complain("press-file-fountain-roller-unknown", path, id=shown(named), rollers=", ".join(rollers) or "-")
        return
    role = reading.values.get((*unit, "rollers", named, "role"))
    if role is not None and role is not Role.FOUNTAIN:
        reading.complain("press-file-fountain-roller-role", path, id=named, role=role.value)


def _check_members(reading: Reading, path: Path, rollers: list[str]) -> None:
    members = [reading.values.get((*path, end)) for end in ("a", "b")]
    for end, member in zip(("a", "b"), members, strict=True):
        if member is not None and member not in rollers and member not in CYLINDER_IDS:
            near = nearest(member, [*rollers, *CYLINDER_IDS])
            slug = "press-file-member-mistyped" if near else "press-file-member-unknown"
            known = ", ".join([*CYLINDER_IDS, *rollers])
            reading.complain(slug, (*path, end), id=shown(member), nearest=near, known=known)
    if None not in members and members[0] == members[1]:
        reading.complain("press-file-contact-with-itself", path, id=shown(str(members[0])))
    elif set(members) <= set(CYLINDER_IDS):
        reading.complain("press-file-contact-of-cylinders", path, a=members[0], b=members[1])


def _check_slip(reading: Reading, path: Path) -> None:
    slips = reading.values.get((*path, "kind")) is ContactKind.SLIPS
    if slips and (*path, "speed_ratio") not in reading.spots:
        reading.complain("press-file-slip-without-ratio", path)


def _check_also_moves(reading: Reading, path: Path, contacts: list[str]) -> None:
    for end in ("operator", "gear"):
        field = (*path, "adjusters", end, "also_moves")
        named = reading.values.get(field)
        if named is not None and (named not in contacts or named == path[-1]):
            others = [contact for contact in contacts if contact != path[-1]]
            near = _reversed_or_nearest(named, others)
            slug = "press-file-also-moves-mistyped" if near else "press-file-also-moves-unknown"
            reading.complain(slug, field, id=shown(named), nearest=near)


def _reversed_or_nearest(named: str, contacts: list[str]) -> str:
    turned = "/".join(reversed(named.split("/")))
    return turned if turned in contacts else nearest(named, contacts)


def _refuse_twin_contacts(reading: Reading, path: Path) -> None:
    seen: dict[frozenset[str], int] = {}
    for item, spot in reading.item_spots.get(path, ()):
        pair = frozenset(item.split("/"))
        if pair in seen and len(pair) == 2:
            reading.complain("press-file-contact-twice", (*path, item), spot=spot, line=seen[pair])
        seen.setdefault(pair, spot.line)
