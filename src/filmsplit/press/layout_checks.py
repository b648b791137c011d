"""What relaxing a layout tells: contacts out of reach, bodies that overlap, rollers moved far, rollers placed."""

from __future__ import annotations

import math
from collections.abc import Iterator

from filmsplit.messages import Problem
from filmsplit.press.bodies import radius_mm
from filmsplit.press.press import Unit
from filmsplit.press.relax import Gap, Layout

MOVE_WORTH_SAYING_MM = 1.0
"""Moves above this are told: smaller ones are the reading of a picture."""
MOVED_SHARE = 0.5
"""A member that would have to move by more than this share of its radius was not measured, but mistaken."""
JUST_CLEAR_MM = 0.3
"""Members without contact closer than this may well touch: soft covers swell by as much."""


def layout_problems(
    before: Unit, after: Unit, *, layout: Layout, ambiguous: tuple[str, ...] = ()
) -> tuple[Problem, ...]:
    """Everything the relaxed layout of a unit says about its description."""
    unreachable = [*_open_contacts(before, layout)]
    far = [] if unreachable else [*_moved_too_far(before, layout)]
    overlaps = [*_overlaps(before, layout)]
    told = [] if unreachable or far else [*_moves(before, layout)]
    placed = [] if unreachable else [*_placed(before, ambiguous)]
    clear = [] if unreachable else [*_just_clear(after, layout)]
    return (*unreachable, *far, *overlaps, *told, *placed, *clear)


def _open_contacts(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """Contacts that do not close: the worst, and those nearly as bad (the rest are dragged along)."""
    found = [gap for gap in layout.open if gap.joint is not None]
    for gap in found:
        if gap.after_mm < found[0].after_mm / 2:
            return
        if len(gap.members) == 3:
            yield _ductor_short(unit, gap)
        else:
            yield _out_of_reach(unit, gap, gap.after_mm)


def _ductor_short(unit: Unit, gap: Gap) -> Problem:
    ductor, first, second = gap.members
    swing_mm = unit.roller(ductor).motion.swing_mm
    values = {
        "unit": unit.id,
        "ductor": ductor,
        "first": first,
        "second": second,
        "swing_mm": swing_mm,
        "short_mm": gap.after_mm,
    }
    return Problem("ductor-cannot-reach", values, ("units", unit.id, "rollers", ductor, "motion", "swing_mm"))


def _out_of_reach(unit: Unit, gap: Gap, off_mm: float) -> Problem:
    a, b = gap.members
    values = {
        "unit": unit.id,
        "contact": f"{a}/{b}",
        "off_mm": off_mm,
        "before_mm": gap.before_mm,
        "reach_mm": radius_mm(unit, a) + radius_mm(unit, b),
    }
    return Problem("contact-out-of-reach", values, _path(unit, gap))


def _path(unit: Unit, gap: Gap) -> tuple[str, ...]:
    if gap.joint is not None and gap.joint.contact is not None:
        return ("units", unit.id, "contacts", gap.joint.id)
    last = gap.members[-1]
    where = ("rollers", last) if any(roller.id == last for roller in unit.rollers) else ("cylinders", last)
    return ("units", unit.id, *where)


def _moved_mm(unit: Unit, layout: Layout, name: str) -> float | None:
    """How far a member was moved; ``None`` where its centre was unknown."""
    centre = unit.member(name).centre
    return None if centre is None else math.dist((centre.x_mm, centre.y_mm), layout.centres[name])


def _moved_too_far(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """Members moved further than a reading error, each with the contact that was worst before."""
    for name in unit.member_ids:
        moved_mm = _moved_mm(unit, layout, name)
        limit_mm = MOVED_SHARE * radius_mm(unit, name)
        if moved_mm is None or moved_mm <= limit_mm:
            continue
        gaps = [gap for gap in layout.gaps if name in gap.members and gap.joint is not None]
        worst = max(gaps, key=lambda gap: gap.before_mm, default=None)
        values: dict[str, object] = {
            "unit": unit.id,
            "roller": name,
            "moved_mm": moved_mm,
            "limit_mm": limit_mm,
            "contact": "/".join(worst.members) if worst else "–",
            "off_mm": worst.before_mm if worst else 0.0,
        }
        where = "cylinders" if name in ("blanket", "impression") else "rollers"
        yield Problem("moved-too-far", values, ("units", unit.id, where, name, "centre"))


def _overlaps(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """Members without contact that overlap: in the end, or so much in the description that it cannot be meant."""
    stuck = {gap.members for gap in layout.open if gap.joint is None}
    for gap in layout.gaps:
        if gap.joint is not None or any(unit.member(name).centre is None for name in gap.members):
            mistaken = False
        else:
            mistaken = gap.before_mm > MOVED_SHARE * min(radius_mm(unit, name) for name in gap.members)
        overlap_mm = gap.after_mm if gap.members in stuck else gap.before_mm
        values = {"unit": unit.id, "a": gap.members[0], "b": gap.members[1], "overlap_mm": overlap_mm}
        if gap.members in stuck or mistaken:
            yield Problem("bodies-overlap", values, _path(unit, gap))
        elif gap.joint is None and gap.before_mm > MOVE_WORTH_SAYING_MM:
            yield Problem("bodies-moved-apart", values, _path(unit, gap))


def _moves(unit: Unit, layout: Layout) -> Iterator[Problem]:
    for name in unit.member_ids:
        moved_mm = _moved_mm(unit, layout, name)
        if moved_mm is not None and moved_mm > MOVE_WORTH_SAYING_MM:
            values = {"unit": unit.id, "roller": name, "moved_mm": moved_mm}
            where = "cylinders" if name in ("blanket", "impression") else "rollers"
            yield Problem("roller-moved", values, ("units", unit.id, where, name, "centre"))


def _placed(unit: Unit, ambiguous: tuple[str, ...]) -> Iterator[Problem]:
    for roller in unit.rollers:
        if roller.centre is None:
            slug = "placed-by-choice" if roller.id in ambiguous else "placed-by-contacts"
            values = {"unit": unit.id, "roller": roller.id}
            yield Problem(slug, values, ("units", unit.id, "rollers", roller.id, "centre"))


def _just_clear(unit: Unit, layout: Layout) -> Iterator[Problem]:
    """Members that nearly touch without a contact: perhaps one was forgotten."""
    touching = {joint.joint.pair for joint in layout.gaps if joint.joint is not None and len(joint.members) == 2}
    for gap in layout.gaps:
        a, b = gap.members[:2]
        if gap.joint is not None or frozenset((a, b)) in touching or unit.contacts_of(a) == ():
            continue
        apart_mm = math.dist(layout.centres[a], layout.centres[b]) - radius_mm(unit, a) - radius_mm(unit, b)
        met = any(contact.joins(a) and contact.joins(b) for contact in unit.contacts)
        if not met and -MOVE_WORTH_SAYING_MM < apart_mm < JUST_CLEAR_MM:
            values = {"unit": unit.id, "a": a, "b": b, "apart_mm": max(apart_mm, 0.0)}
            yield Problem("bodies-just-clear", values, _path(unit, gap))
