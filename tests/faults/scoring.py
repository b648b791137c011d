"""How well the matcher does on simulated cases: hits among those that can be told apart, and calibration on all."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from faults.simulated_sheets import GEARS, ONCE_A_TURN, READING_SD_MM, Case
from filmsplit.faults import MarkMatch, Suspect, SuspectKind, match_marks

_AS_PLATE = (SuspectKind.PLATE, SuspectKind.BLANKET, SuspectKind.GAP)


@dataclass(frozen=True)
class Answer:
    """What the matcher said in one case, in the simulation's words for parts."""

    case: Case
    named: tuple[str, ...]
    confidence: float
    told: bool

    @property
    def first(self) -> bool:
        return self.named[:1] == (self.case.part.name,)

    @property
    def in_three(self) -> bool:
        return self.case.part.name in self.named[:3]


@dataclass(frozen=True)
class Score:
    cases: int
    excluded: float
    first: float
    in_three: float
    calibration_error: float
    told: float
    told_right: float


def answer(case: Case) -> Answer:
    found = match_marks(case.press, case.readings, unit=case.unit.id, reading_sd_mm=READING_SD_MM)
    shares = _shares(found, case)
    named = sorted(shares, key=lambda name: -shares[name])
    return Answer(case, tuple(named), shares[named[0]], found.can_tell)


def score(answers: Sequence[Answer]) -> Score:
    apart = [one for one in answers if one.case.apart]
    told = [one for one in answers if one.told]
    return Score(
        cases=len(answers),
        excluded=1 - len(apart) / len(answers),
        first=_share(one.first for one in apart),
        in_three=_share(one.in_three for one in apart),
        calibration_error=calibration_error(answers),
        told=len(told) / len(answers),
        told_right=_share(one.first for one in told),
    )


def calibration_error(answers: Sequence[Answer], bins: int = 10) -> float:
    """Mean over equal-count bins, by confidence in the top answer, of |mean confidence - share right|."""
    return sum(abs(said - right) for said, right in calibration(answers, bins)) / bins


def calibration(answers: Sequence[Answer], bins: int = 10) -> list[tuple[float, float]]:
    """Per bin: mean confidence, share right."""
    ordered = sorted(answers, key=lambda one: one.confidence)
    edges = [round(index * len(ordered) / bins) for index in range(bins + 1)]
    groups = [ordered[low:high] for low, high in itertools.pairwise(edges)]
    return [(sum(one.confidence for one in g) / len(g), _share(one.first for one in g)) for g in groups]


def _shares(found: MarkMatch, case: Case) -> dict[str, float]:
    """Probability by part; suspects that are one part to the simulation (all that mark once a turn) add up."""
    shares = {"not described": found.unlisted}
    for one in found.ranked:
        name = _part_name(one.suspect, case)
        shares[name] = shares.get(name, 0.0) + one.probability
    return shares


def _part_name(suspect: Suspect, case: Case) -> str:
    if suspect.kind in _AS_PLATE:
        return ONCE_A_TURN
    if suspect.kind is SuspectKind.IMPRESSION:
        turns = suspect.repeat_mm / case.unit.cylinders.plate.circumference_mm
        return ONCE_A_TURN if turns < 1.5 else "impression"
    if suspect.kind is SuspectKind.GEARS:
        return GEARS
    if suspect.kind is SuspectKind.DUCTOR_CYCLE:
        return f"ductor {suspect.members[0]}"
    if suspect.kind is SuspectKind.OSCILLATOR_CYCLE:
        return f"oscillation {case.unit.roller(suspect.members[0]).motion.cycle_rev}"
    return suspect.members[0]


def _share(hits: Iterable[bool]) -> float:
    counted = list(hits)
    return sum(counted) / len(counted) if counted else 0.0
