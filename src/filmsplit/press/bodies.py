"""Members as bodies: where each stands, how big it is, and which pairs are meant to meet."""

from __future__ import annotations

from dataclasses import dataclass, replace

from filmsplit.press.contacts import Contact
from filmsplit.press.press import Unit
from filmsplit.press.roller import Point, Roller
from filmsplit.press.words import ContactKind, MotionKind

CYLINDER_PAIRS = (("plate", "blanket"), ("blanket", "impression"))
"""The cylinders meet without anyone writing it down."""

Place = tuple[float, float]
"""A centre in mm: x to the right, y up."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Two members that meet: a contact of the file, or one between cylinders (``contact`` is then ``None``)."""

    a: str
    b: str
    kind: ContactKind
    contact: Contact | None = None

    @property
    def id(self) -> str:
        return f"{self.a}/{self.b}"

    @property
    def pair(self) -> frozenset[str]:
        return frozenset((self.a, self.b))

    @property
    def is_permanent(self) -> bool:
        """Whether the surfaces always meet (rolling or slipping), so that the distance of the centres is known."""
        return self.kind is not ContactKind.TOUCHES

    def joins(self, member: str) -> bool:
        return member in (self.a, self.b)

    def other(self, member: str) -> str:
        return self.b if member == self.a else self.a


def joints_of(unit: Unit) -> tuple[Joint, ...]:
    """Every pair of the unit that meets, each once: cylinders first, then contacts in file order.

    Contacts that name nobody, join a member to itself or repeat a pair are left out: the checks name them.
    """
    known = set(unit.member_ids)
    found: dict[frozenset[str], Joint] = {frozenset(pair): Joint(*pair, ContactKind.ROLLS) for pair in CYLINDER_PAIRS}
    written: set[frozenset[str]] = set()
    for contact in unit.contacts:
        pair = frozenset((contact.a, contact.b))
        if len(pair) == 2 and pair <= known and pair not in written:
            written.add(pair)
            found[pair] = Joint(contact.a, contact.b, contact.kind, contact)
    return tuple(found.values())


def radius_mm(unit: Unit, member_id: str) -> float:
    """Half the diameter over what the member wears: rubber, plate, blanket."""
    return unit.member(member_id).diameter_mm / 2


def centre_of(unit: Unit, member_id: str) -> Place:
    """Centre of a member whose place is known; ``ValueError`` for one that has not been placed yet."""
    centre = unit.member(member_id).centre
    if centre is None:
        raise ValueError(f"{member_id} has no centre: survey the press first")
    return (centre.x_mm, centre.y_mm)


def is_driven(unit: Unit, member_id: str) -> bool:
    """Whether bearings and gears fix the member's place: cylinders, and rollers that friction does not turn."""
    member = unit.member(member_id)
    return not isinstance(member, Roller) or not member.drive.kind.is_friction


def ductors_of(unit: Unit) -> tuple[Roller, ...]:
    """The rollers that swing between two others."""
    return tuple(roller for roller in unit.rollers if roller.motion.kind is MotionKind.DUCTS)


def with_centres(unit: Unit, centres: dict[str, Place]) -> Unit:
    """The same unit with its members at ``centres``; members not named, or named where they are, stay as they are."""
    rollers = tuple(
        replace(roller, centre=_point(centres[roller.id], roller.centre)) if roller.id in centres else roller
        for roller in unit.rollers
    )
    cylinders = unit.cylinders
    blanket = replace(cylinders.blanket, centre=_point(centres["blanket"], cylinders.blanket.centre))
    impression = replace(cylinders.impression, centre=_point(centres["impression"], cylinders.impression.centre))
    return replace(unit, rollers=rollers, cylinders=replace(cylinders, blanket=blanket, impression=impression))


def _point(place: Place, old: Point | None) -> Point:
    """``place`` as a point: the old one, to the bit, where nothing moved."""
    if old is not None and (old.x_mm, old.y_mm) == place:
        return old
    return Point(x_mm=place[0], y_mm=place[1])
