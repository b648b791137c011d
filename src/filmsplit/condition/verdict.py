"""Keep, watch or act: one roller judged by its readings, each finding with its reason and the next step.

A reading is never certain. "Act" needs both a value over its limit and a chance of at least ``SURE`` that the true one
is over it too; otherwise the finding is to watch it, and the next step to read again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from math import floor, log10
from statistics import NormalDist

from filmsplit.condition.glaze import Skin, skin_of
from filmsplit.condition.limits import CareTable, LimitRow
from filmsplit.condition.measured import Measured, measured_now
from filmsplit.condition.readings import RollerHistory
from filmsplit.condition.words import Grade, Measure
from filmsplit.messages import Problem

SURE = 0.8
"""Chance of being over the limit from which a reading is acted on (invented default)."""


class Verdict(Enum):
    """What to do with a roller, the gravest last."""

    KEEP = "keep"
    WATCH = "watch"
    ACT = "act"

    @property
    def rank(self) -> int:
        return list(Verdict).index(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing found on a roller: the verdict on it, and the problem that says why and what to do next.

    ``limit`` and ``measured`` are there where a number was compared with a limit.
    """

    verdict: Verdict
    problem: Problem
    measured: Measured | None = None
    limit: LimitRow | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerVerdict:
    """The judgement on one roller. ``unread`` names the measures a judgement would need and nobody has read."""

    roller: str
    verdict: Verdict
    findings: tuple[Finding, ...]
    unread: tuple[Measure, ...]


def judge(history: RollerHistory, table: CareTable) -> RollerVerdict:
    """The verdict on a roller by everything read on the cover it now has."""
    measured = measured_now(history)
    found = [*_by_limits(history, table=table, measured=measured), *_by_looks(history)]
    unread = _unread(history, measured)
    return RollerVerdict(
        roller=history.id,
        verdict=_gravest(found, unread=unread),
        findings=tuple(sorted(found, key=lambda finding: -finding.verdict.rank)),
        unread=unread,
    )


def _gravest(findings: Sequence[Finding], *, unread: Sequence[Measure]) -> Verdict:
    """The gravest of the findings. A roller of which nothing was read is watched: nobody knows."""
    least = Verdict.WATCH if unread and not findings else Verdict.KEEP
    return max((finding.verdict for finding in findings), key=lambda each: each.rank, default=least)


def chance_over(measured: Measured, limit: float) -> float:
    """Chance that the true size is over ``limit`` (normal errors)."""
    return 1.0 - NormalDist(measured.value, measured.sigma).cdf(limit)


def _by_limits(history: RollerHistory, *, table: CareTable, measured: tuple[Measured, ...]) -> Iterator[Finding]:
    for each in measured:
        row = table.limit(each.measure, role=history.role, press=history.press, roller=history.id)
        if row is not None:
            verdict, sure = _verdict_on(each, row)
            yield Finding(
                verdict=verdict,
                problem=_problem(history, measured=each, row=row, sure=sure)
                if verdict is not Verdict.KEEP
                else _kept(each, row),
                measured=each,
                limit=row,
            )


def _verdict_on(measured: Measured, row: LimitRow) -> tuple[Verdict, bool]:
    """The verdict, and whether it is sure enough not to read again first."""
    if measured.measure is Measure.STRIPE_NARROW:
        over_act, over_watch = measured.value <= row.act, measured.value < row.watch
        chance = 1.0 - chance_over(measured, row.act)
    else:
        over_act, over_watch = measured.value >= row.act, measured.value > row.watch
        chance = chance_over(measured, row.act)
    if over_act and chance >= SURE:
        return Verdict.ACT, True
    return (Verdict.WATCH if over_watch or over_act else Verdict.KEEP), not over_act


def _kept(measured: Measured, row: LimitRow) -> Problem:
    return Problem("roller-within-limit", _values(measured, row))


def _values(measured: Measured, row: LimitRow) -> dict[str, object]:
    digits = _digits(measured.sigma)
    return {
        "measure": measured.measure.value,
        "value": round(measured.value, digits),
        "sigma": round(measured.sigma, digits),
        "unit": measured.measure.unit,
        "watch": row.watch,
        "act": row.act,
        "basis": row.basis.value,
        "source": row.source,
    }


def _digits(sigma: float) -> int:
    """Decimals by which an error is told with two figures; what it is the error of is told with as many."""
    return 1 - floor(log10(sigma)) if sigma > 0 else 3


def _problem(history: RollerHistory, *, measured: Measured, row: LimitRow, sure: bool) -> Problem:
    """Why, and what to do next."""
    values = _values(measured, row)
    if not sure:
        return Problem("roller-limit-unsure", values)
    if measured.measure is Measure.HARDNESS_RISE:
        return _hardness(skin_of(history), values, act=measured.value >= row.act)
    return Problem(_SLUGS[measured.measure], values)


def _hardness(skin: Skin, values: dict[str, object], *, act: bool) -> Problem:
    """Glaze comes off, hardening does not: which of the two it is decides what is done."""
    if skin.is_open:
        return Problem("roller-hard-or-glazed", values)
    if skin.was_glaze and skin.fell_shore_a is not None:
        return Problem("roller-hardened-below-glaze", values | {"fell": round(skin.fell_shore_a, 1)})
    return Problem("roller-hardened", values) if act else Problem("roller-hardening", values)


_SLUGS = {
    Measure.HARDNESS_FALL: "roller-softened",
    Measure.RUN_OUT: "roller-runs-out",
    Measure.SHRINK: "roller-shrunk",
    Measure.SWELL: "roller-swollen",
    Measure.END_TO_MIDDLE: "roller-ends-thick",
    Measure.TAPER: "roller-tapered",
    Measure.STRIPE_NARROW: "roller-stripe-narrow",
    Measure.STRIPE_WIDE: "roller-stripe-wide",
    Measure.STRIPE_UNEVEN: "roller-stripe-uneven",
    Measure.PLAY: "roller-play",
}


def _by_looks(history: RollerHistory) -> Iterator[Finding]:
    """What the last look at the face says."""
    since = history.cover_since
    looks = [each for each in history.grades if since is None or each.on >= since]
    last = max(looks, key=lambda each: each.on, default=None)
    for grade in () if last is None else last.grades:
        if grade.is_broken:
            yield Finding(verdict=Verdict.ACT, problem=Problem("roller-face-broken", {"grade": grade.value}))
        elif grade is Grade.SWOLLEN_END:
            yield Finding(verdict=Verdict.ACT, problem=Problem("roller-end-swollen"))
        elif grade is Grade.HAIRLINES:
            yield Finding(verdict=Verdict.WATCH, problem=Problem("roller-hairlines"))
        elif grade is Grade.HAZED:
            yield Finding(verdict=Verdict.WATCH, problem=Problem("roller-hazed"))
        elif grade.is_glazed:
            yield Finding(verdict=Verdict.WATCH, problem=Problem("roller-glazed", {"grade": grade.value}))


def _unread(history: RollerHistory, measured: tuple[Measured, ...]) -> tuple[Measure, ...]:
    """What must have been read before a roller is set: hardness of a soft one, ends, run-out."""
    needed = (Measure.END_TO_MIDDLE, Measure.RUN_OUT)
    have = {each.measure for each in measured}
    soft = (Measure.HARDNESS_RISE,) if history.is_soft else ()
    return tuple(each for each in soft + needed if each not in have)
