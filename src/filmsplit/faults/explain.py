"""Every way the suspects of a press can explain a set of marks, each with its weight of evidence."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from filmsplit.faults import priors
from filmsplit.faults.evidence import (
    Counts,
    counts_for_total,
    counts_within,
    log_evidence,
    log_evidence_any_repeat,
)
from filmsplit.faults.marks import Mark
from filmsplit.faults.priors import Rule, SuspectKind
from filmsplit.faults.reported import MOST_MISSED, log_seen
from filmsplit.faults.series import Series, folded, straight
from filmsplit.faults.suspects import Suspect
from filmsplit.faults.travel import Window

_SHORTEST_UNLISTED_MM, _LONGEST_UNLISTED_TURNS = 3.0, 4.0
"""A part that is not described repeats somewhere between a fine gear's pitch and four plate turns."""

_MOST_UNLISTED_A_SHEET = 6
"""Over several sheets, turns a sheet up to which a repeat that is not described is followed."""

_NOT_WORTH_WEIGHING = 18.0
"""Explanations less likely than the best of their kind by e to this power change no figure anybody reads."""

_ROLLER_RULES = (
    *((rule, 1.0, priors.RULES[rule].weight) for rule in (Rule.ONE_TURN, Rule.FOLDED)),
    *((Rule.SEVERAL_TURNS, float(turns), belief.weight) for turns, belief in priors.SEVERAL_TURNS.items()),
)
_OTHER_RULES = {
    SuspectKind.GEARS: ((Rule.TOOTH_PITCH, 1.0, 1.0),),
    SuspectKind.DUCTOR_CYCLE: ((Rule.CYCLE, 1.0, 1.0),),
    SuspectKind.OSCILLATOR_CYCLE: (
        (Rule.CYCLE, 1.0, priors.RULES[Rule.CYCLE].weight),
        (Rule.HALF_CYCLE, 0.5, priors.RULES[Rule.HALF_CYCLE].weight),
    ),
}
_PLATE_RULE = ((Rule.PLATE_TURN, 1.0, 1.0),)
"""Rules by kind of suspect: rule, repeats that make up one distance, share of the suspect's weight."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One suspect marking by one rule: what the repeat then is."""

    suspect: Suspect
    rule: Rule
    turns: float
    log_weight: float

    @property
    def repeat_mm(self) -> float:
        return self.suspect.repeat_mm * self.turns

    @property
    def sd_mm(self) -> float:
        return self.suspect.sd_mm * self.turns


@dataclass(frozen=True, slots=True)
class Explanation:
    """A hypothesis with the turns counted from mark to mark, and the log of its weight times its evidence."""

    hypothesis: Hypothesis
    series: Series
    counts: Counts
    log_evidence: float

    def by(self, other: Hypothesis) -> Explanation:
        """The same marks counted the same way for another suspect that repeats alike."""
        shift = other.log_weight - self.hypothesis.log_weight
        return replace(self, hypothesis=other, log_evidence=self.log_evidence + shift)


def hypotheses_of(suspects: Sequence[Suspect]) -> tuple[Hypothesis, ...]:
    """Each suspect by each rule open to it; weights of all together are what the unlisted leave."""
    total = sum(priors.KINDS[suspect.kind].weight for suspect in suspects)
    listed = 1 - priors.UNLISTED_REPEAT.weight - priors.UNLISTED_SCATTER.weight
    found = []
    for suspect in suspects:
        log_share = math.log(listed * priors.KINDS[suspect.kind].weight / total)
        rules = _ROLLER_RULES if suspect.is_roller else _OTHER_RULES.get(suspect.kind, _PLATE_RULE)
        for rule, turns, weight in rules:
            found.append(Hypothesis(suspect, rule, turns, log_share + math.log(weight)))
    return tuple(found)


def explanations(
    hypothesis: Hypothesis, marks: Sequence[Mark], window: Window, *, reading_sd_mm: float
) -> Iterator[Explanation]:
    """Every count of turns by which this hypothesis makes these marks, in full or leaving one stray mark out."""
    repeat_mm, sd_mm = hypothesis.repeat_mm, hypothesis.sd_mm
    is_folded = hypothesis.rule is Rule.FOLDED
    best = -math.inf
    for one in folded(marks, window, repeat_mm) if is_folded else straight(marks, window):
        for counts, weight in counts_within(one.travel, repeat_mm, sd_mm, reading_sd_mm=reading_sd_mm):
            density = log_evidence(one.travel, counts, repeat_mm=repeat_mm, sd_mm=sd_mm, reading_sd_mm=reading_sd_mm)
            log_weight = math.log(weight) + one.log_weight + density
            if log_weight < best - _NOT_WORTH_WEIGHING:
                continue
            seen = log_seen(one, counts, window)
            if seen is not None:
                best = max(best, log_weight + seen)
                yield Explanation(hypothesis, one, counts, hypothesis.log_weight + log_weight + seen)


def log_unlisted(marks: Sequence[Mark], window: Window, *, reading_sd_mm: float) -> Iterator[float]:
    """Log weights of what is not described: any even repeat, or marks with nothing to do with each other."""
    sheets = marks[-1].sheet - marks[0].sheet + 1
    yield math.log(priors.UNLISTED_SCATTER.weight) - (len(marks) - 1) * math.log(sheets * window.visible_mm)
    log_share = math.log(priors.UNLISTED_REPEAT.weight)
    if len(marks) == 1:
        yield log_share
        return
    most = len(marks) + MOST_MISSED + _MOST_UNLISTED_A_SHEET * (sheets - 1)
    best = -math.inf
    for one in straight(marks, window):
        for total in range(len(one.travel) - 1, most + 1):
            counts = counts_for_total(one.travel, total)
            if counts is None:
                continue
            log_weight = one.log_weight + _density_any_repeat(one, counts, window=window, reading_sd_mm=reading_sd_mm)
            seen = log_seen(one, counts, window) if log_weight > best - _NOT_WORTH_WEIGHING else None
            if seen is not None:
                best = max(best, log_weight + seen)
                yield log_share + log_weight + seen


def _density_any_repeat(one: Series, counts: Counts, *, window: Window, reading_sd_mm: float) -> float:
    return log_evidence_any_repeat(
        one.travel,
        counts,
        reading_sd_mm=reading_sd_mm,
        shortest_mm=_SHORTEST_UNLISTED_MM,
        longest_mm=_LONGEST_UNLISTED_TURNS * window.plate_mm,
    )
