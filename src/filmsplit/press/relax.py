"""From rough centres to true ones: the nearest layout in which whatever should touch touches and nothing else does.

Engagement (0.1-0.4 mm, what a soft roller is pressed in) is neglected: at a contact the centres stand apart by the
sum of the radii. A train that can turn is never over-determined by its rolling contacts alone: its contact graph is
flat and has only even loops, so it has at most 2n - 4 edges for n members, fewer than it has ways to move.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from filmsplit.numerics.spacing import Spacing, settle
from filmsplit.press.bodies import Joint, Place, ductors_of, is_driven, joints_of, radius_mm
from filmsplit.press.press import Unit
from filmsplit.press.words import ContactKind

CLOSED_MM = 1e-6
"""A contact is closed when its centre distance is right to this."""
OVERLAP_TOLERANCE_MM = 0.01
"""Members without contact may overlap by this: nobody measures a diameter closer."""

_CYLINDER_MOBILITY = 0.01
_DRIVEN_MOBILITY = 0.1
_FRICTION_MOBILITY = 1.0
_UNKNOWN_MOBILITY = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A pair (or, for a ductor, its two partners) and how far it is from what it should be.

    ``joint`` is the contact that should close; ``None`` for members that should stay clear of each other.
    """

    members: tuple[str, ...]
    joint: Joint | None
    before_mm: float
    after_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Centres after relaxing, and every pair with its misfit before and after."""

    centres: dict[str, Place]
    gaps: tuple[Gap, ...]
    nearest: bool

    @property
    def open(self) -> tuple[Gap, ...]:
        """Contacts that do not close and pairs that overlap, the worst first."""
        return tuple(
            sorted((gap for gap in self.gaps if gap.after_mm > _allowed_mm(gap)), key=lambda gap: -gap.after_mm)
        )


def relax(unit: Unit, centres: dict[str, Place], *, unknown: frozenset[str] = frozenset()) -> Layout:
    """The layout nearest to ``centres``. The plate stays; cylinders yield least, driven rollers less than others.

    ``unknown`` names the members whose centre is a first guess: they yield most.
    """
    names = unit.member_ids
    rules = tuple(_rules(unit))
    number = {name: n for n, name in enumerate(names)}
    spacings = [_spacing(unit, number, members, joint) for members, joint in rules]
    given = [centres[name] for name in names]
    mobility = [_mobility(unit, name, unknown) for name in names]
    settled = settle(given, mobility, spacings=spacings, tolerance=CLOSED_MM)
    gaps = tuple(
        Gap(members=members, joint=joint, before_mm=spacing.misfit(given), after_mm=after)
        for (members, joint), spacing, after in zip(rules, spacings, settled.misfits, strict=True)
    )
    return Layout(centres=dict(zip(names, settled.places, strict=True)), gaps=gaps, nearest=settled.holds)


def _allowed_mm(gap: Gap) -> float:
    return CLOSED_MM if gap.joint is not None else OVERLAP_TOLERANCE_MM


def _rules(unit: Unit) -> Iterator[tuple[tuple[str, ...], Joint | None]]:
    """Contacts that close, ductors that reach both partners, and pairs that stay clear: members, and the contact."""
    joints = joints_of(unit)
    for joint in joints:
        if joint.is_permanent:
            yield (joint.a, joint.b), joint
    for ductor in ductors_of(unit):
        touching = [joint for joint in joints if joint.joins(ductor.id) and joint.kind is ContactKind.TOUCHES]
        for first, second in combinations(touching, 2):
            yield (ductor.id, first.other(ductor.id), second.other(ductor.id)), first
    closed = {joint.pair for joint in joints if joint.is_permanent}
    for pair in combinations(unit.member_ids, 2):
        if frozenset(pair) not in closed:
            yield pair, None


def _spacing(unit: Unit, number: dict[str, int], members: tuple[str, ...], joint: Joint | None) -> Spacing:
    """The rule for ``members``: at contact, clear of each other, or (three) a ductor within its swing of both."""
    if len(members) == 3:
        ductor, first, second = members
        ways = radius_mm(unit, first) + radius_mm(unit, second) + 2 * radius_mm(unit, ductor)
        terms = ((number[ductor], number[first], -1.0), (number[ductor], number[second], -1.0))
        return Spacing(terms, -(ways + unit.roller(ductor).motion.swing_mm), exact=False)
    a, b = members
    reach = radius_mm(unit, a) + radius_mm(unit, b)
    return Spacing(((number[a], number[b], 1.0),), reach, exact=joint is not None)


def _mobility(unit: Unit, name: str, unknown: frozenset[str]) -> float:
    if name == "plate":
        return 0.0
    if name in unknown:
        return _UNKNOWN_MOBILITY
    if name in ("blanket", "impression"):
        return _CYLINDER_MOBILITY
    return _DRIVEN_MOBILITY if is_driven(unit, name) else _FRICTION_MOBILITY
