"""A press looked at as a whole: true centres, what was moved to get them, and everything that is wrong with it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from filmsplit.messages import Problem, Severity
from filmsplit.press.bodies import with_centres
from filmsplit.press.layout_checks import MOVE_WORTH_SAYING_MM, layout_problems
from filmsplit.press.placing import place_unknown
from filmsplit.press.press import Press, Unit
from filmsplit.press.relax import CLOSED_MM, relax
from filmsplit.press.roller import Point
from filmsplit.press.turning import turning_problems

__all__ = ["MOVE_WORTH_SAYING_MM", "Move", "Survey", "survey"]


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
        placed = place_unknown(unit)
        layout = relax(unit, placed.centres, unknown=frozenset(placed.by_contacts))
        after = with_centres(unit, layout.centres)
        units.append(after)
        moves += _moves(unit, after)
        problems += layout_problems(unit, after, layout=layout, ambiguous=tuple(placed.ambiguous))
        problems += turning_problems(after)
    return Survey(press=replace(press, units=tuple(units)), moves=tuple(moves), problems=tuple(problems))


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
