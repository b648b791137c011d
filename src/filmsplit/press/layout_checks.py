"""What relaxing a layout tells: contacts out of reach, bodies that overlap, rollers moved far, rollers placed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations, takewhile

from filmsplit.messages import Problem
from filmsplit.press.bodies import Joint, ductors_of, joints_of, radius_mm
from filmsplit.press.press import Unit
from filmsplit.press.relax import Gap, Layout, Rule

MOVE_WORTH_SAYING_MM = 1.0
"""Moves above this are told: smaller ones are the reading of a picture."""
MOVED_SHARE = 0.5
"""A member that would have to move by more than this share of its radius was not misread, but mistaken."""
JUST_CLEAR_MM = 0.3
"""Members without contact closer than this may well touch: soft covers swell by as much."""
FAR_APART_MM = 15.0
"""A roller that is thrown on and off moves by a few millimetres; more than this is mistaken (common practice)."""


def layout_problems(
    unit: Unit, *, layout: Layout, ambiguous: frozenset[str] = frozenset(), unknown_swings: frozenset[str] = frozenset()
) -> tuple[Problem, ...]:
    """Everything the relaxed layout says about ``unit`` as it was described.

    While contacts do not close, the moves made in trying mean nothing, and only what does not close is told.
    """
    stuck = tuple(_open_contacts(unit, layout)) or tuple(_out_of_reach(unit, layout))
    overlaps = tuple(_overlaps(unit, layout))
    if stuck:
        return (*stuck, *(problem for problem in overlaps if problem not in stuck))
    swings = _assumed_swings(unit, layout, unknown_swings)
    told = (*_moves(unit, layout), *_placed(unit, ambiguous), *_just_clear(unit, layout))
    return (*overlaps, *told, *swings, *_far_apart(unit, layout))


def _open_contacts(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """Contacts that do not close: the worst, and those nearly as bad (the rest are dragged along)."""
    found = [gap for gap in layout.open if gap.joint is not None]
    for gap in takewhile(lambda gap: gap.after_mm >= found[0].after_mm / 2, found):
        if gap.rule is Rule.WITHIN_SWING:
            yield _ductor_short(unit, gap, gap.after_mm)
        else:
            a, b = gap.members
            values = {
                "unit": unit.id,
                "contact": f"{a}/{b}",
                "off_mm": gap.after_mm,
                "before_mm": gap.before_mm,
                "reach_mm": radius_mm(unit, a) + radius_mm(unit, b),
            }
            yield Problem("contact-does-not-close", values, _path(unit, gap.members, gap.joint))


def _ductor_short(unit: Unit, gap: Gap, short_mm: float) -> Problem:
    ductor, first, second = gap.members
    values = {
        "unit": unit.id,
        "ductor": ductor,
        "first": first,
        "second": second,
        "swing_mm": unit.roller(ductor).motion.swing_mm,
        "short_mm": short_mm,
    }
    return Problem("ductor-cannot-reach", values, ("units", unit.id, "rollers", ductor, "motion", "swing_mm"))


def _out_of_reach(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """A layout that closes, but only by moving somebody further than a reading error.

    Whoever stands furthest from where it should be is named, not everyone who was dragged along.
    """
    too_far = [name for name in unit.member_ids if _moved_mm(unit, layout, name) > _limit_mm(unit, name)]
    if not too_far:
        return
    furthest = max(too_far, key=lambda name: _moved_mm(unit, layout, name) / _limit_mm(unit, name))
    gaps = sorted(layout.gaps, key=lambda gap: -gap.before_mm)
    for gap in takewhile(lambda gap: gap.before_mm >= gaps[0].before_mm / 2, gaps):
        if gap.rule is Rule.TOUCHING:
            yield _reach_problem(unit, layout, gap=gap, furthest=furthest)
        elif gap.rule is Rule.WITHIN_SWING:
            yield _ductor_short(unit, gap, gap.before_mm)
        else:
            yield _overlap_problem(unit, gap, gap.before_mm)


def _reach_problem(unit: Unit, layout: Layout, *, gap: Gap, furthest: str) -> Problem:
    """``gap`` would close, but only by moving one of its members, or else ``furthest``, too far."""
    name = max(gap.members, key=lambda name: _moved_mm(unit, layout, name) / _limit_mm(unit, name))
    mover = name if _moved_mm(unit, layout, name) > _limit_mm(unit, name) else furthest
    values = {
        "unit": unit.id,
        "contact": "/".join(gap.members),
        "off_mm": gap.before_mm,
        "roller": mover,
        "moved_mm": _moved_mm(unit, layout, mover),
        "limit_mm": _limit_mm(unit, mover),
    }
    return Problem("contact-out-of-reach", values, _path(unit, gap.members, gap.joint))


def _limit_mm(unit: Unit, name: str) -> float:
    return MOVED_SHARE * radius_mm(unit, name)


def _overlap_problem(unit: Unit, gap: Gap, overlap_mm: float) -> Problem:
    a, b = gap.members
    if gap.joint is not None:
        values: dict[str, object] = {"unit": unit.id, "contact": f"{a}/{b}", "overlap_mm": overlap_mm}
        return Problem("touching-overlap", values, _path(unit, gap.members, gap.joint))
    values = {"unit": unit.id, "a": a, "b": b, "overlap_mm": overlap_mm}
    return Problem("bodies-overlap", values, _path(unit, gap.members))


def _path(unit: Unit, members: tuple[str, ...], joint: Joint | None = None) -> tuple[str, ...]:
    """The contact where it is written, else the last of the members."""
    if joint is not None and joint.contact is not None:
        return ("units", unit.id, "contacts", joint.id)
    return _centre_path(unit, members[-1])[:-1]


def _centre_path(unit: Unit, name: str) -> tuple[str, ...]:
    group = "rollers" if any(roller.id == name for roller in unit.rollers) else "cylinders"
    return ("units", unit.id, group, name, "centre")


def _moved_mm(unit: Unit, layout: Layout, name: str) -> float:
    """How far a member was moved; 0 where its centre was unknown."""
    centre = unit.member(name).centre
    return 0.0 if centre is None else math.dist((centre.x_mm, centre.y_mm), layout.centres[name])


def _overlaps(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """Members without contact that overlap: in the end, or so much in the description that it cannot be meant."""
    for gap in layout.gaps:
        if gap.rule is not Rule.CLEAR or gap.before_mm == gap.after_mm == 0:
            continue
        placed_here = any(unit.member(name).centre is None for name in gap.members)
        described_mm = 0.0 if placed_here else gap.before_mm
        if described_mm > min(_limit_mm(unit, name) for name in gap.members):
            yield _overlap_problem(unit, gap, described_mm)
        elif gap.is_open:
            yield _overlap_problem(unit, gap, gap.after_mm)
        elif described_mm > MOVE_WORTH_SAYING_MM:
            values = {"unit": unit.id, "a": gap.members[0], "b": gap.members[1], "overlap_mm": described_mm}
            yield Problem("bodies-moved-apart", values, _path(unit, gap.members))


def _moves(unit: Unit, layout: Layout) -> Iterator[Problem]:
    for name in unit.member_ids:
        moved_mm = _moved_mm(unit, layout, name)
        if moved_mm > MOVE_WORTH_SAYING_MM:
            values = {"unit": unit.id, "roller": name, "moved_mm": moved_mm}
            yield Problem("roller-moved", values, _centre_path(unit, name))


def _placed(unit: Unit, ambiguous: frozenset[str]) -> Iterator[Problem]:
    for roller in unit.rollers:
        if roller.centre is None:
            slug = "placed-by-choice" if roller.id in ambiguous else "placed-by-contacts"
            yield Problem(slug, {"unit": unit.id, "roller": roller.id}, _centre_path(unit, roller.id))


def _apart_mm(unit: Unit, layout: Layout, pair: tuple[str, ...]) -> float:
    a, b = pair
    return math.dist(layout.centres[a], layout.centres[b]) - radius_mm(unit, a) - radius_mm(unit, b)


def _just_clear(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """Members that nearly touch without a contact: perhaps one was forgotten."""
    for gap in layout.gaps:
        if gap.rule is not Rule.CLEAR or gap.before_mm > MOVE_WORTH_SAYING_MM:
            continue
        a, b = gap.members
        apart_mm = _apart_mm(unit, layout, gap.members)
        if apart_mm < JUST_CLEAR_MM:
            values = {"unit": unit.id, "a": a, "b": b, "apart_mm": max(apart_mm, 0.0)}
            yield Problem("bodies-just-clear", values, _path(unit, gap.members))


def _assumed_swings(unit: Unit, layout: Layout, unknown_swings: frozenset[str]) -> Iterator[Problem]:
    """Ductors whose free way nobody has measured, where the assumed one is too short for the layout."""
    for ductor in ductors_of(unit):
        touching = [joint for joint in joints_of(unit) if joint.joins(ductor.id) and not joint.is_permanent]
        partners = [joint.other(ductor.id) for joint in touching]
        for first, second in combinations(partners, 2) if ductor.id in unknown_swings else ():
            needed_mm = sum(_apart_mm(unit, layout, (ductor.id, partner)) for partner in (first, second))
            if needed_mm > ductor.motion.swing_mm:
                values = {
                    "unit": unit.id,
                    "ductor": ductor.id,
                    "first": first,
                    "second": second,
                    "swing_mm": ductor.motion.swing_mm,
                    "needed_mm": needed_mm,
                }
                path = ("units", unit.id, "rollers", ductor.id, "motion", "swing_mm")
                yield Problem("ductor-swing-assumed", values, path)


def _far_apart(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """Members said to touch at times that stand so far apart that nothing on a press would bring them together."""
    for gap in layout.gaps:
        if gap.rule is Rule.TOUCHING_AT_TIMES:
            apart_mm = _apart_mm(unit, layout, gap.members)
            if apart_mm > FAR_APART_MM:
                values = {"unit": unit.id, "contact": "/".join(gap.members), "apart_mm": apart_mm}
                yield Problem("touching-far-apart", values, _path(unit, gap.members, gap.joint))
