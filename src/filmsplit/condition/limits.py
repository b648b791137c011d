"""Limits of wear: from when to watch and when to act, found by the strongest basis first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.condition.words import ArrivalTest, Basis, EventKind, Measure
from filmsplit.press.words import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """One line of the table of limits. ``press``, ``roller`` and ``role`` narrow it; empty means every one.

    For a stripe that is too narrow the numbers are widths not to fall below; for everything else not to rise above.
    """

    measure: Measure
    watch: float
    act: float
    basis: Basis
    source: str
    press: str = ""
    roller: str = ""
    role: Role | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalRow:
    """How far a roller may be off its drawing when it arrives."""

    test: ArrivalTest
    tolerance: float
    basis: Basis
    source: str
    role: Role | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class IntervalRow:
    """How often a task is due: by days, by impressions, or by whichever of both comes first."""

    task: EventKind
    days: float | None
    impressions: float | None
    basis: Basis
    source: str
    press: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CareTable:
    """All limits, tolerances and intervals: what comes with the program and what the shop added."""

    limits: tuple[LimitRow, ...]
    arrivals: tuple[ArrivalRow, ...]
    intervals: tuple[IntervalRow, ...]

    def limit(self, measure: Measure, *, role: Role | None, press: str = "", roller: str = "") -> LimitRow | None:
        """The row that holds for a roller: the strongest basis, then the one that names it most closely."""
        fit = [
            row
            for row in self.limits
            if row.measure is measure
            and row.press in ("", press)
            and row.roller in ("", roller)
            and row.role in (None, role)
        ]
        return min(fit, key=_weakness, default=None)

    def arrival(self, test: ArrivalTest, *, role: Role) -> ArrivalRow | None:
        """The tolerance that holds for a new roller."""
        fit = [row for row in self.arrivals if row.test is test and row.role in (None, role)]
        return min(fit, key=lambda row: (_rank(row.basis), row.role is None), default=None)

    def intervals_of(self, press: str) -> tuple[IntervalRow, ...]:
        """One row a task, in the order of the table."""
        mine = [row for row in self.intervals if row.press in ("", press)]
        tasks = dict.fromkeys(row.task for row in mine)
        return tuple(_strongest([row for row in mine if row.task is task]) for task in tasks)


def _strongest(rows: Sequence[IntervalRow]) -> IntervalRow:
    return min(rows, key=lambda row: (_rank(row.basis), row.press == ""))


def _weakness(row: LimitRow) -> tuple[int, bool, bool, bool]:
    return (_rank(row.basis), row.roller == "", row.press == "", row.role is None)


def _rank(basis: Basis) -> int:
    return list(Basis).index(basis)
