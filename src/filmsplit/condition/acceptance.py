"""Accept, return or ask: a roller on arrival against its drawing.

A size inside its tolerance by the measuring error is taken as in, one outside by twice that is proved out; in between
nobody can tell, and the answer is to ask. Whoever claims a fault has to prove it beyond the error of the measurement
(decision rules of ISO 14253-1, memory), so what goes back is only what is proved out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import Enum

from filmsplit.condition import measuring
from filmsplit.condition.limits import CareTable
from filmsplit.condition.readings import DiameterReading, HardnessReading, RollerDrawing, RunOutReading
from filmsplit.condition.words import ArrivalTest, Grade
from filmsplit.messages import Problem
from filmsplit.press.words import Material, Role

ACCEPT_GUARD, RETURN_GUARD = 1.0, 2.0
"""Deviations of the measuring error kept from a tolerance. Two would be usual on both sides, but workshop instruments
on rubber are hardly finer than the tolerances, and nothing would ever be accepted (invented default)."""

DAYS_A_MONTH = 30.44


class Decision(Enum):
    """What to do with a roller that has arrived, the gravest last."""

    ACCEPT = "accept"
    ASK = "ask"
    RETURN = "return"

    @property
    def rank(self) -> int:
        return list(Decision).index(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """What was found on a roller as it came out of its wrapping."""

    on: date
    hardness: HardnessReading | None = None
    diameter: DiameterReading | None = None
    run_out: RunOutReading | None = None
    face_mm: float | None = None
    journal_mm: float | None = None
    compound: Material | None = None
    made_on: date | None = None
    grades: tuple[Grade, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalFinding:
    """One comparison with the drawing, and what it says."""

    decision: Decision
    problem: Problem
    test: ArrivalTest | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """All comparisons, the gravest first."""

    findings: tuple[ArrivalFinding, ...]

    @property
    def decision(self) -> Decision:
        decisions = (finding.decision for finding in self.findings)
        return max(decisions, key=lambda each: each.rank, default=Decision.ASK)


def accept(arrival: Arrival, drawing: RollerDrawing, *, role: Role, table: CareTable) -> Acceptance:
    """Compare what arrived with what was drawn."""
    sizes = _sizes(arrival, drawing)
    found = [
        *(_compared(test, sizes[test], drawing=drawing, role=role, table=table) for test in ArrivalTest),
        *_looks(arrival, drawing),
    ]
    kept = [finding for finding in found if finding is not None]
    return Acceptance(findings=tuple(sorted(kept, key=lambda finding: -finding.decision.rank)))


Size = tuple[float, float] | None
"""A size to hold against a tolerance and its deviation; ``None`` where it was not read, or not drawn."""


def _sizes(arrival: Arrival, drawing: RollerDrawing) -> dict[ArrivalTest, Size]:
    sizes: dict[ArrivalTest, Size] = dict.fromkeys(ArrivalTest)
    if arrival.hardness is not None and arrival.hardness.is_reliable and drawing.hardness_shore_a is not None:
        read, sigma = measuring.corrected(arrival.hardness)
        sizes[ArrivalTest.HARDNESS] = (abs(read - drawing.hardness_shore_a), sigma)
    if arrival.diameter is not None:
        sizes[ArrivalTest.TAPER] = (arrival.diameter.taper_mm, measuring.DIAMETER_DIFFERENCE_MM)
    if arrival.run_out is not None:
        sizes[ArrivalTest.RUN_OUT] = (arrival.run_out.worst_mm, measuring.RUN_OUT_MM)
    if arrival.made_on is not None:
        sizes[ArrivalTest.AGE] = ((arrival.on - arrival.made_on).days / DAYS_A_MONTH, 0.5)
    mean_mm = None if arrival.diameter is None else arrival.diameter.mean_mm
    lengths = (
        (ArrivalTest.DIAMETER, mean_mm, drawing.diameter_mm, measuring.DIAMETER_MM),
        (ArrivalTest.FACE, arrival.face_mm, drawing.face_mm, measuring.FACE_MM),
        (ArrivalTest.JOURNAL, arrival.journal_mm, drawing.journal_mm, measuring.JOURNAL_MM),
    )
    return sizes | {
        test: (abs(read - drawn), sigma)
        for test, read, drawn, sigma in lengths
        if read is not None and drawn is not None
    }


def _compared(
    test: ArrivalTest, size: Size, *, drawing: RollerDrawing, role: Role, table: CareTable
) -> ArrivalFinding | None:
    row = table.arrival(test, role=role)
    drawn = drawing.diameter_tolerance_mm if test is ArrivalTest.DIAMETER else None
    tolerance = drawn if drawn is not None else None if row is None else row.tolerance
    if tolerance is None:
        return None
    if size is None:
        return ArrivalFinding(
            decision=Decision.ASK, problem=Problem("arrival-not-read", {"test": test.value}), test=test
        )
    off, sigma = size
    decision, slug = _decided(off, sigma, tolerance=tolerance)
    if test is ArrivalTest.AGE and decision is Decision.RETURN:
        decision, slug = Decision.ASK, "arrival-old"
    values = {
        "test": test.value,
        "off": round(off, 3),
        "sigma": round(sigma, 3),
        "tolerance": tolerance,
        "unit": test.unit,
    }
    return ArrivalFinding(decision=decision, problem=Problem(slug, values), test=test)


def _decided(off: float, sigma: float, *, tolerance: float) -> tuple[Decision, str]:
    if off - RETURN_GUARD * sigma > tolerance:
        return Decision.RETURN, "arrival-out"
    if off + ACCEPT_GUARD * sigma <= tolerance:
        return Decision.ACCEPT, "arrival-within"
    # A size right on target can miss by the error alone where that is wider than the tolerance: say so, do not return.
    return Decision.ASK, "arrival-unsure"


def _looks(arrival: Arrival, drawing: RollerDrawing) -> Iterator[ArrivalFinding]:
    broken = [grade.value for grade in arrival.grades if grade.is_broken or grade is Grade.SWOLLEN_END]
    if broken:
        yield ArrivalFinding(
            decision=Decision.RETURN, problem=Problem("arrival-face-broken", {"grades": ", ".join(broken)})
        )
    if drawing.compound is not None and arrival.compound not in (None, drawing.compound):
        said = "" if arrival.compound is None else arrival.compound.value
        values = {"said": said, "drawn": drawing.compound.value}
        yield ArrivalFinding(decision=Decision.RETURN, problem=Problem("arrival-other-compound", values))
