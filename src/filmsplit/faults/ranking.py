"""Suspects in order of probability, each with what its best explanation says."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from filmsplit.faults.evidence import fit
from filmsplit.faults.explain import Explanation, Hypothesis, explanations, hypotheses_of, log_unlisted
from filmsplit.faults.marks import Mark
from filmsplit.faults.priors import Rule
from filmsplit.faults.result import RankedSuspect
from filmsplit.faults.series import Series
from filmsplit.faults.suspects import Suspect
from filmsplit.faults.travel import Window, walks_of

_LEAST_SHOWN = 1e-6
"""Suspects less likely than this are left out of the answer."""

_SAME_MM = 0.01
"""Repeats nearer than this are the same."""

Ranking = tuple[tuple[RankedSuspect, ...], float]
"""Suspects, likeliest first, and the probability that it is none of them."""


def rank(
    suspects: Sequence[Suspect], marks: tuple[Mark, ...], *, windows: Mapping[str, Window], reading_sd_mm: float
) -> Ranking:
    """Rank ``suspects`` on ``marks``; ``windows`` by unit."""
    found = _all_explanations(suspects, marks, windows=windows, reading_sd_mm=reading_sd_mm)
    unlisted = _unlisted(marks, windows, reading_sd_mm)
    top = max([unlisted, *(one.log_evidence for one in found)])
    by_suspect: dict[str, list[Explanation]] = {}
    for one in found:
        by_suspect.setdefault(one.hypothesis.suspect.id, []).append(one)
    weights = {id: sum(math.exp(one.log_evidence - top) for one in ones) for id, ones in by_suspect.items()}
    rest = math.exp(unlisted - top)
    total = rest + sum(weights.values())
    alike = _alike(suspects)
    ranked = [
        _ranked(
            max(ones, key=lambda one: one.log_evidence),
            weights[id] / total,
            alike=alike[id],
            window=windows[ones[0].hypothesis.suspect.unit],
            reading_sd_mm=reading_sd_mm,
        )
        for id, ones in by_suspect.items()
        if weights[id] / total > _LEAST_SHOWN
    ]
    return tuple(sorted(ranked, key=lambda one: -one.probability)), rest / total


def _all_explanations(
    suspects: Sequence[Suspect], marks: tuple[Mark, ...], *, windows: Mapping[str, Window], reading_sd_mm: float
) -> list[Explanation]:
    """With one mark there is no distance: every hypothesis stands, at what was believed before."""
    hypotheses = hypotheses_of(suspects)
    if len(marks) == 1:
        series = Series(marks, (marks[0].mm,), None, 0.0)
        return [Explanation(one, series, (0,), one.log_weight) for one in hypotheses]
    found: list[Explanation] = []
    known: dict[object, tuple[Explanation, ...]] = {}
    for one in hypotheses:
        window = windows[one.suspect.unit]
        alike = (one.repeat_mm, one.sd_mm, one.rule is Rule.FOLDED, window)
        if alike not in known:
            known[alike] = tuple(explanations(one, marks, window, reading_sd_mm=reading_sd_mm))
        found += [explanation.by(one) for explanation in known[alike]]
    return found


def _unlisted(marks: tuple[Mark, ...], windows: Mapping[str, Window], reading_sd_mm: float) -> float:
    """Log weight of all that is not described; plates of one press being nearly alike, the first unit's serves."""
    logs = list(log_unlisted(marks, next(iter(windows.values())), reading_sd_mm=reading_sd_mm))
    top = max(logs)
    return top + math.log(sum(math.exp(one - top) for one in logs))


def _alike(suspects: Sequence[Suspect]) -> dict[str, tuple[Suspect, ...]]:
    """For each suspect, the others that repeat by the same length, known as well."""

    def same(one: Suspect, other: Suspect) -> bool:
        return abs(one.repeat_mm - other.repeat_mm) < _SAME_MM and abs(one.sd_mm - other.sd_mm) < _SAME_MM

    return {one.id: tuple(other for other in suspects if other is not one and same(one, other)) for one in suspects}


def _ranked(
    best: Explanation, probability: float, *, alike: tuple[Suspect, ...], window: Window, reading_sd_mm: float
) -> RankedSuspect:
    hypothesis, series, counts = best.hypothesis, best.series, best.counts
    repeat_mm, sd_mm = hypothesis.repeat_mm, hypothesis.sd_mm
    drawn = fit(series.travel, counts, reading_sd_mm=reading_sd_mm, repeat_mm=repeat_mm, sd_mm=sd_mm)
    places = zip(series.travel, counts, strict=True)
    free = fit(series.travel, counts, reading_sd_mm=reading_sd_mm) if len(counts) > 1 else None
    per_diameter = math.pi * hypothesis.turns / hypothesis.suspect.speed
    is_roller = hypothesis.suspect.is_roller
    return RankedSuspect(
        suspect=hypothesis.suspect,
        probability=probability,
        alike=tuple(other.id for other in alike),
        alike_names=tuple(other.name for other in alike),
        rule=_rule_shown(hypothesis, series),
        turns=hypothesis.turns,
        expected_mm=repeat_mm,
        expected_sd_mm=sd_mm,
        marks=series.marks,
        counts=counts,
        residuals_mm=tuple(place - drawn.place_mm(count) for place, count in places),
        stray=series.stray,
        fitted_mm=None if free is None else free.repeat_mm,
        fitted_sd_mm=None if free is None else free.repeat_sd_mm,
        diameter_mm=free.repeat_mm / per_diameter if free is not None and is_roller else None,
        diameter_sd_mm=free.repeat_sd_mm / per_diameter if free is not None and is_roller else None,
        walks=walks_of(drawn.repeat_mm, drawn.repeat_sd_mm, window.plate_mm),
        traces=hypothesis.rule is Rule.FOLDED,
    )


def _rule_shown(hypothesis: Hypothesis, series: Series) -> Rule:
    """One turn counted over the end of a sheet is told as folded."""
    crosses = series.marks[0].sheet != series.marks[-1].sheet
    return Rule.FOLDED if hypothesis.rule is Rule.ONE_TURN and crosses else hypothesis.rule
