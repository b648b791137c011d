"""From rough centres to true ones: the nearest layout in which whatever should touch touches and nothing else does.

Engagement (0.1-0.4 mm, what a soft roller is pressed in) is neglected: at a contact the centres stand apart by the
sum of the radii. A train that can turn is never over-determined by its rolling contacts alone: its contact graph is
flat and has only even loops, so it has at most 2n - 4 edges for n members, fewer than it has ways to move.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from itertools import combinations

from filmsplit.numerics.spacing import Spacing, settle
from filmsplit.press.bodies import Joint, Place, ductors_of, is_driven, joints_of, radius_mm
from filmsplit.press.press import Unit

CLOSED_MM = 1e-6
"""A contact is closed when its centre distance is right to this."""
OVERLAP_TOLERANCE_MM = 0.01
"""Members without contact may overlap by this: nobody measures a diameter closer."""

_CYLINDER_MOBILITY = 0.01
_DRIVEN_MOBILITY = 0.25
_FRICTION_MOBILITY = 1.0
_UNKNOWN_MOBILITY = 10.0


class Rule(Enum):
    """What the distance of some centres has to be."""

    TOUCHING = "the sum of the radii"
    TOUCHING_AT_TIMES = "the sum of the radii or more, though a contact joins them"
    CLEAR = "the sum of the radii or more"
    WITHIN_SWING = "near enough for a ductor to reach both partners"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Members under a rule, and how far they are from keeping it before and after relaxing; 0 where they keep it.

    Two members, or a ductor and its two partners. ``joint`` is their contact, the first of the ductor's two.
    """

    rule: Rule
    members: tuple[str, ...]
    joint: Joint | None
    before_mm: float = 0.0
    after_mm: float = 0.0

    @property
    def is_open(self) -> bool:
        """Whether the rule is still broken after relaxing."""
        return self.after_mm > (CLOSED_MM if self.rule is Rule.TOUCHING else OVERLAP_TOLERANCE_MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Centres after relaxing, and every rule with its misfit before and after."""

    centres: dict[str, Place]
    gaps: tuple[Gap, ...]

    @property
    def open(self) -> tuple[Gap, ...]:
        """The rules that could not be kept, the worst first."""
        return tuple(sorted((gap for gap in self.gaps if gap.is_open), key=lambda gap: -gap.after_mm))


def relax(
    unit: Unit,
    centres: dict[str, Place],
    *,
    unknown: frozenset[str] = frozenset(),
    unknown_swings: frozenset[str] = frozenset(),
    effort: float = 1.0,
) -> Layout:
    """The layout nearest to ``centres``. The plate stays; cylinders yield least, driven rollers less than others.

    ``unknown`` names the members whose centre is a first guess: they yield most. An unknown free way
    (``unknown_swings`` names the ductors) moves nothing: only a measured one may. ``effort`` bounds the
    work (1: a second or two).
    """
    rules = tuple(_rules(unit, unknown_swings))
    names = unit.member_ids
    number = {name: n for n, name in enumerate(names)}
    given = [centres[name] for name in names]
    settled = settle(
        given,
        [_mobility(unit, name, unknown) for name in names],
        spacings=[_spacing(unit, number, gap) for gap in rules],
        tolerance=CLOSED_MM,
        effort=effort,
    )
    gaps = tuple(
        replace(gap, before_mm=before, after_mm=after)
        for gap, before, after in zip(rules, settled.misfits_before, settled.misfits, strict=True)
    )
    return Layout(centres=dict(zip(names, settled.places, strict=True)), gaps=gaps)


def _rules(unit: Unit, unknown_swings: frozenset[str]) -> Iterator[Gap]:
    """Contacts that close, ductors that reach both partners, and pairs that stay clear of each other."""
    joints = {joint.pair: joint for joint in joints_of(unit)}
    for pair in combinations(unit.member_ids, 2):
        joint = joints.get(frozenset(pair))
        if joint is None:
            yield Gap(rule=Rule.CLEAR, members=pair, joint=None)
        else:
            rule = Rule.TOUCHING if joint.is_permanent else Rule.TOUCHING_AT_TIMES
            yield Gap(rule=rule, members=(joint.a, joint.b), joint=joint)
    for ductor in ductors_of(unit):
        touching = [joint for joint in joints.values() if joint.joins(ductor.id) and not joint.is_permanent]
        for first, second in combinations(touching, 2) if ductor.id not in unknown_swings else ():
            members = (ductor.id, first.other(ductor.id), second.other(ductor.id))
            yield Gap(rule=Rule.WITHIN_SWING, members=members, joint=first)


def _spacing(unit: Unit, number: dict[str, int], gap: Gap) -> Spacing:
    """The rule as mathematics."""
    first, *others = gap.members
    radii_mm = sum(radius_mm(unit, first) + radius_mm(unit, other) for other in others)
    if gap.rule is Rule.WITHIN_SWING:
        terms = tuple((number[first], number[other], -1.0) for other in others)
        return Spacing(terms, -(radii_mm + unit.roller(first).motion.swing_mm), exact=False)
    return Spacing(((number[first], number[others[0]], 1.0),), radii_mm, exact=gap.rule is Rule.TOUCHING)


def _mobility(unit: Unit, name: str, unknown: frozenset[str]) -> float:
    if name == "plate":
        return 0.0
    if name in unknown:
        return _UNKNOWN_MOBILITY
    if name in ("blanket", "impression"):
        return _CYLINDER_MOBILITY
    return _DRIVEN_MOBILITY if is_driven(unit, name) else _FRICTION_MOBILITY
