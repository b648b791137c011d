"""A press looked at as a whole: true centres, what was moved to get them, and everything that is wrong with it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from filmsplit.messages import Problem, Severity
from filmsplit.press.bodies import with_centres
from filmsplit.press.contact_checks import contact_problems
from filmsplit.press.layout_checks import MOVE_WORTH_SAYING_MM, layout_problems
from filmsplit.press.placing import place_unknown
from filmsplit.press.press import MOST_ROLLERS, Press, Unit
from filmsplit.press.relax import CLOSED_MM, relax
from filmsplit.press.roller import Point
from filmsplit.press.roller_checks import roller_problems
from filmsplit.press.turning import turning_problems
from filmsplit.press.unit_checks import unit_problems

__all__ = ["MOST_ROLLERS", "MOVE_WORTH_SAYING_MM", "Move", "Survey", "survey"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A member that relaxing moved, or placed because its centre was unknown (``before`` is then ``None``)."""

    unit: str
    roller: str
    moved_mm: float
    before: Point | None
    after: Point
    placed_by_contacts: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """The same press with true centres, what moved, and what is wrong or worth knowing."""

    press: Press
    moves: tuple[Move, ...]
    problems: tuple[Problem, ...]

    @property
    def refusals(self) -> tuple[Problem, ...]:
        """The problems that stand in the way."""
        return tuple(problem for problem in self.problems if problem.severity is Severity.REFUSED)


def survey(press: Press) -> Survey:
    """Survey every unit on its own. Never raises: what cannot be is among the problems."""
    units: list[Unit] = []
    moves: list[Move] = []
    problems: list[Problem] = []
    for unit in press.units:
        after, found = _survey_unit(press, unit)
        units.append(after)
        moves += _moves(unit, after)
        problems += found
    return Survey(press=replace(press, units=tuple(units)), moves=tuple(moves), problems=tuple(problems))


def _survey_unit(press: Press, unit: Unit) -> tuple[Unit, tuple[Problem, ...]]:
    """The unit with true centres, and its problems in the order in which they are best put right."""
    if len(unit.rollers) > MOST_ROLLERS:
        values = {"unit": unit.id, "rollers": len(unit.rollers), "most": MOST_ROLLERS}
        return unit, (Problem("too-many-rollers", values, ("units", unit.id, "rollers")),)
    placed = place_unknown(unit)
    swings = frozenset(roller.id for roller in unit.rollers if swing_is_assumed(press, unit, roller.id))
    unknown = frozenset(placed.by_contacts)
    # A press of many hopeless units must not take longer than one of one.
    effort = 1.0 / len(press.units)
    layout = relax(unit, placed.centres, unknown=unknown, unknown_swings=swings, effort=effort)
    after = with_centres(unit, layout.centres)
    told = layout_problems(unit, layout=layout, ambiguous=frozenset(placed.ambiguous), unknown_swings=swings)
    return after, (
        *contact_problems(after),
        *turning_problems(after),
        *told,
        *roller_problems(press, after),
        *unit_problems(press, after),
    )


def swing_is_assumed(press: Press, unit: Unit, roller_id: str) -> bool:
    """Whether nobody has written how far a ductor swings."""
    return press.is_assumed("units", unit.id, "rollers", roller_id, "motion", "swing_mm")


def _moves(unit: Unit, after: Unit) -> list[Move]:
    found = []
    for name in unit.member_ids:
        old, new = unit.member(name).centre, after.member(name).centre
        if new is None:
            continue
        moved_mm = 0.0 if old is None else math.hypot(new.x_mm - old.x_mm, new.y_mm - old.y_mm)
        if old is None or moved_mm > CLOSED_MM:
            found.append(
                Move(
                    unit=unit.id,
                    roller=name,
                    moved_mm=moved_mm,
                    before=old,
                    after=new,
                    placed_by_contacts=old is None,
                )
            )
    return found
