"""The order in which the contacts of a unit are set: outwards from what gears turn to what turns free, then the plate.

The order of stages is common practice; the press manual comes first. Within a stage a contact comes after those that
give its reference roller its place, and then with the ink, from the ductor's end to the plate's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from filmsplit.messages import label
from filmsplit.press import Contact, Unit
from filmsplit.press.contacts import CYLINDER_IDS
from filmsplit.press.plate_order import form_rollers
from filmsplit.press.roller import Roller
from filmsplit.press.words import DriveKind, Role, System

PLATE = "plate"
_GEARED = (DriveKind.GEAR, DriveKind.CHAIN, DriveKind.MOTOR)
_REFERENCES = (Role.DRUM, Role.FOUNTAIN, Role.PAN)


class Stage(Enum):
    """What kind of contact is set, in the order of setting."""

    DISTRIBUTORS = "distributors"
    FORMS_TO_DRUMS = "forms-to-drums"
    FORMS_TO_PLATE = "forms-to-plate"
    DUCTOR_TO_TRAIN = "ductor-to-train"
    DUCTOR_TO_FOUNTAIN = "ductor-to-fountain"
    METERING = "metering"
    DAMPENING_BETWEEN = "dampening-between"
    DAMP_FORMS_TO_DRUMS = "damp-forms-to-drums"
    DAMP_FORMS_TO_PLATE = "damp-forms-to-plate"
    BRIDGE = "bridge"

    @property
    def text(self) -> str:
        """In a person's words."""
        return label(f"setting_stage.{self.value}")

    @property
    def tools(self) -> str:
        """What is used to see the stripe."""
        return label(f"setting_tools.{self.value}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedContact:
    """One contact in its turn. ``moved`` is set against ``reference``; ``adjustable``: the press file says by what.

    ``also_moves`` names contacts that its adjusters disturb: they are read again afterwards.
    """

    number: int
    stage: Stage
    contact: Contact
    moved: str
    reference: str
    adjustable: bool
    also_moves: tuple[str, ...]


def setting_order(unit: Unit) -> tuple[PlannedContact, ...]:
    """Every contact of a roller of ``unit``, in the order it is set."""
    free = freedom(unit)
    steps = _steps_from_feed(unit)
    plate_order = {form.id: form.order for form in form_rollers(unit)}
    stages = list(Stage)

    def turn(contact: Contact) -> tuple[int, int, int, int]:
        stage = _stage(unit, contact)
        if contact.joins(PLATE):
            return stages.index(stage), 0, plate_order[contact.other(PLATE)], 0
        members = (contact.a, contact.b)
        return stages.index(stage), max(free[m] for m in members), *_near_first(steps[m] for m in members)

    contacts = sorted((each for each in unit.contacts if _is_set(each)), key=turn)
    return tuple(_planned(unit, contact, number=n, free=free) for n, contact in enumerate(contacts, start=1))


def freedom(unit: Unit) -> Mapping[str, int]:
    """How many contacts lie between a member and one whose place is fixed; 0 for cylinders, drums, driven rollers."""
    fixed = {*CYLINDER_IDS, *(roller.id for roller in unit.rollers if _is_fixed(roller))}
    return _distances(unit, fixed)


def linked(unit: Unit, contact: Contact) -> tuple[Contact, ...]:
    """The contact with all that its adjusters move, and that theirs move: these are set together."""
    found, waiting = [contact], [contact]
    while waiting:
        one = waiting.pop()
        for other in unit.contacts:
            if other not in found and (other.id in also_moved(one) or one.id in also_moved(other)):
                found.append(other)
                waiting.append(other)
    return tuple(each for each in unit.contacts if each in found)


def also_moved(contact: Contact) -> tuple[str, ...]:
    """The other contacts that the adjusters of this one move."""
    both = (contact.adjusters.operator, contact.adjusters.gear)
    return tuple(dict.fromkeys(one.also_moves for one in both if one is not None and one.also_moves is not None))


def _is_fixed(roller: Roller) -> bool:
    return roller.role in _REFERENCES or roller.drive.kind in _GEARED


def _is_set(contact: Contact) -> bool:
    """Cylinders against each other are a matter of packing and impression, not of setting rollers."""
    return not (contact.a in CYLINDER_IDS and contact.b in CYLINDER_IDS)


def _distances(unit: Unit, starts: set[str]) -> dict[str, int]:
    """Contacts from the nearest of ``starts``; members that nothing joins to them count as furthest."""
    distances = dict.fromkeys(starts, 0)
    edge = list(starts)
    while edge:
        here = edge.pop(0)
        for contact in unit.contacts_of(here):
            other = contact.other(here)
            if other not in distances:
                distances[other] = distances[here] + 1
                edge.append(other)
    return {member: distances.get(member, len(unit.member_ids)) for member in unit.member_ids}


def _steps_from_feed(unit: Unit) -> Mapping[str, int]:
    """Contacts from the fountain or pan roller."""
    feeds = {roller.id for roller in unit.rollers if roller.role in (Role.FOUNTAIN, Role.PAN)}
    return _distances(unit, feeds or {roller.id for roller in unit.rollers if roller.role is Role.DUCTOR})


def _near_first(steps: object) -> tuple[int, int]:
    near, far = sorted(steps)  # type: ignore[call-overload]
    return near, far


def _stage(unit: Unit, contact: Contact) -> Stage:
    rollers = [unit.roller(id) for id in (contact.a, contact.b) if id not in CYLINDER_IDS]
    roles = {roller.role for roller in rollers}
    damp = any(roller.system is System.DAMPENING for roller in rollers)
    if Role.BRIDGE in roles:
        return Stage.BRIDGE
    if contact.joins(PLATE):
        return Stage.DAMP_FORMS_TO_PLATE if damp else Stage.FORMS_TO_PLATE
    if Role.METERING in roles:
        return Stage.METERING
    if Role.FORM in roles:
        return Stage.DAMP_FORMS_TO_DRUMS if damp else Stage.FORMS_TO_DRUMS
    if damp:
        return Stage.DAMPENING_BETWEEN
    if Role.DUCTOR in roles:
        return Stage.DUCTOR_TO_FOUNTAIN if Role.FOUNTAIN in roles else Stage.DUCTOR_TO_TRAIN
    return Stage.DISTRIBUTORS


def _planned(unit: Unit, contact: Contact, *, number: int, free: Mapping[str, int]) -> PlannedContact:
    moved, reference = (contact.a, contact.b) if free[contact.a] >= free[contact.b] else (contact.b, contact.a)
    return PlannedContact(
        number=number,
        stage=_stage(unit, contact),
        contact=contact,
        moved=moved,
        reference=reference,
        adjustable=contact.adjusters.operator is not None or contact.adjusters.gear is not None,
        also_moves=also_moved(contact),
    )
