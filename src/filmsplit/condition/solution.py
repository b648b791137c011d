"""Fountain solution: what was read of it, and whether it may be run on.

Conductivity is the gauge of strength, because solutions are buffered: their pH stays while the dose goes. What counts
is how far it has risen over the fresh batch, never the number by itself: every water and concentrate has its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from enum import Enum

from filmsplit.condition.solution_bands import SolutionBands
from filmsplit.condition.titration import Dosed, TitrationLine, titration_line
from filmsplit.condition.verdict import Finding, Verdict
from filmsplit.messages import Problem, Refusal

MOST_RISE_US_PER_CM = 500.0
"""Over the fresh batch: change it then (PIA guidance on conductivity; memory)."""

MOST_FALL = 0.10
"""A part of the fresh batch's: weaker than that, water was added without its dose (invented default)."""

DOSE_OFF_PERCENT = 0.5
"""A fresh mix this far off the dose that was meant was not mixed as it was meant (invented default)."""

ALCOHOL_ALIKE_PERCENT = 1.0
"""Samples whose alcohol differs by no more are compared: a hydrometer tells it no better (invented default)."""


class Where(Enum):
    """Where a sample was taken."""

    WATER = "water"
    MIX = "mix"
    PAN = "pan"
    TANK = "tank"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """What was read of one sample. ``None``: not read. ``unit`` is empty where it is that of the whole press.

    ``fresh``: a batch nobody has printed with yet. ``series``: with others of the same number it makes a titration
    line, its dose measured out at the bench; 0 for every other sample. ``at`` is when it was put on record.
    """

    day: date
    press: str
    where: Where
    unit: str = ""
    fresh: bool = False
    us_per_cm: float | None = None
    ph: float | None = None
    temperature_c: float | None = None
    alcohol_percent: float | None = None
    dose_percent: float | None = None
    hardness_dh: float | None = None
    person: str = ""
    note: str = ""
    series: int = 0
    number: int = field(default=0, compare=False)
    at: datetime | None = field(default=None, compare=False)

    @property
    def moment(self) -> datetime:
        """When it was taken: when it was put on record, where that was on its day; else noon of its day."""
        if self.at is not None and self.at.date() == self.day:
            return self.at
        return datetime.combine(self.day, time(12), tzinfo=None if self.at is None else self.at.tzinfo)

    @property
    def in_use(self) -> bool:
        return not self.fresh and self.where in (Where.PAN, Where.TANK)

    @property
    def is_batch(self) -> bool:
        """Whether what is in use is measured by it."""
        return self.fresh and not self.series and self.where is not Where.WATER


@dataclass(frozen=True, slots=True, kw_only=True)
class Rise:
    """What was sampled last in one pan or tank, beside its fresh batch.

    ``rise_us_per_cm`` is ``None`` where the two cannot be compared.
    """

    now: Sample
    fresh: Sample
    rise_us_per_cm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionVerdict:
    """The judgement on the solution of a press: keep, watch, or act; ``None`` while nothing is on record.

    ``fresh`` is the batch in use, ``rises`` what has been sampled of it since, the last first. ``dose_percent`` is what
    the titration ``line`` tells of the fresh batch.
    """

    verdict: Verdict | None
    findings: tuple[Finding, ...]
    fresh: Sample | None
    rises: tuple[Rise, ...]
    line: TitrationLine | None
    dose_percent: float | None

    @property
    def last(self) -> Rise | None:
        """The sample taken last of all."""
        return self.rises[0] if self.rises else None


def judge_solution(samples: Sequence[Sample], bands: SolutionBands, *, written: str) -> SolutionVerdict:
    """The verdict on the samples of one press, the oldest first. ``written`` is the unit its conductivities are told in
    (a mho is the older name of a siemens, so the numbers are the same)."""
    fresh = next((each for each in reversed(samples) if each.is_batch), None)
    rises = tuple(_rises(samples))
    line, found = _line(samples, written=written)
    if fresh is not None:
        found += _about_dose(fresh, line)
    found += [finding for each in rises for finding in _about_rise(each, written)]
    if not rises and fresh is None and any(each.in_use for each in samples):
        found.append(_finding(Verdict.WATCH, "solution-no-fresh-batch"))
    for each in [rise.now for rise in rises] or [each for each in (fresh,) if each is not None]:
        found += bands.findings(each.ph, each.temperature_c, alcohol_percent=each.alcohol_percent)
    found.sort(key=lambda finding: -finding.verdict.rank)
    known = fresh is not None or any(each.in_use for each in samples)
    return SolutionVerdict(
        verdict=max((each.verdict for each in found), key=lambda each: each.rank, default=Verdict.KEEP)
        if known
        else None,
        findings=tuple(found),
        fresh=fresh,
        rises=rises,
        line=line,
        dose_percent=_dose(fresh, line),
    )


def alike_in_alcohol(a: Sample, b: Sample) -> bool:
    """Whether two conductivities may be compared: alcohol lowers them."""
    return abs((a.alcohol_percent or 0.0) - (b.alcohol_percent or 0.0)) <= ALCOHOL_ALIKE_PERCENT


def rises_of(samples: Sequence[Sample]) -> tuple[Rise, ...]:
    """Every sample in use beside the fresh batch it belongs to, the oldest first; those before any batch are left out.

    The batch of a pan is the last one before it that was mixed for its unit or for the whole press.
    """
    found = []
    for number, each in enumerate(samples):
        fresh = _batch_for(each, samples[:number])
        if each.in_use and fresh is not None:
            found.append(Rise(now=each, fresh=fresh, rise_us_per_cm=_rise(each, fresh)))
    return tuple(found)


def _batch_for(sample: Sample, before: Sequence[Sample]) -> Sample | None:
    return next((each for each in reversed(before) if each.is_batch and each.unit in ("", sample.unit)), None)


def _rise(now: Sample, fresh: Sample) -> float | None:
    if now.us_per_cm is None or fresh.us_per_cm is None or not alike_in_alcohol(now, fresh):
        return None
    return now.us_per_cm - fresh.us_per_cm


def _rises(samples: Sequence[Sample]) -> Iterator[Rise]:
    """The last sample of every pan and tank, as long as no batch has come after it."""
    seen = set()
    for each in reversed(rises_of(samples)):
        place = (each.now.unit, each.now.where)
        if place not in seen and _batch_for(each.now, samples) is each.fresh:
            yield each
        seen.add(place)


def _line(samples: Sequence[Sample], *, written: str) -> tuple[TitrationLine | None, list[Finding]]:
    """The newest titration line, and what is wrong with it."""
    newest = max((each.series for each in samples), default=0)
    readings = [
        Dosed(dose_percent=each.dose_percent, us_per_cm=each.us_per_cm)
        for each in samples
        if newest and each.series == newest and each.dose_percent is not None and each.us_per_cm is not None
    ]
    if not readings:
        return None, []
    try:
        line = titration_line(readings)
    except Refusal as refusal:  # some of its readings were undone
        return None, [Finding(verdict=Verdict.WATCH, problem=each) for each in refusal.problems]
    if line.is_straight:
        return line, []
    values = {"off": line.off_us_per_cm, "at": line.off_at_percent, "step": line.step_us_per_cm, "unit": written}
    return line, [_finding(Verdict.WATCH, "solution-line-not-straight", values)]


def _dose(fresh: Sample | None, line: TitrationLine | None) -> float | None:
    """No dose is read from a line that is none, nor of a mix with alcohol in it, which lowers its conductivity."""
    if fresh is None or fresh.us_per_cm is None or fresh.alcohol_percent or line is None or not line.is_straight:
        return None
    return line.dose_of(fresh.us_per_cm)


def _about_dose(fresh: Sample, line: TitrationLine | None) -> list[Finding]:
    dose, meant = _dose(fresh, line), fresh.dose_percent
    if fresh.alcohol_percent and line is not None:
        return [_finding(Verdict.KEEP, "solution-dose-with-alcohol", {"alcohol": fresh.alcohol_percent})]
    if dose is None or meant is None or abs(dose - meant) <= DOSE_OFF_PERCENT:
        return []
    return [_finding(Verdict.WATCH, "solution-dose-off", {"dose": dose, "meant": meant})]


def _about_rise(each: Rise, written: str) -> list[Finding]:
    values: dict[str, object] = {"day": each.fresh.day.isoformat(), "unit": written, "most": MOST_RISE_US_PER_CM}
    where = each.now.where.value
    values |= {"at": f"{each.now.unit} {where}" if each.now.unit else where.capitalize()}
    if not alike_in_alcohol(each.now, each.fresh):
        return [_finding(Verdict.WATCH, "solution-alcohol-differs", values)]
    rise, fresh = each.rise_us_per_cm, each.fresh.us_per_cm
    if rise is None or fresh is None:
        return [_finding(Verdict.WATCH, "solution-not-compared", values)]
    if rise > MOST_RISE_US_PER_CM:
        return [_finding(Verdict.ACT, "solution-change", values | {"rise": rise})]
    if rise < -MOST_FALL * fresh:
        return [_finding(Verdict.WATCH, "solution-weaker", values | {"fall": -rise})]
    return [_finding(Verdict.KEEP, "solution-holds", values | {"rise": f"{rise:+.0f}"})]


def _finding(verdict: Verdict, slug: str, values: dict[str, object] | None = None) -> Finding:
    return Finding(verdict=verdict, problem=Problem(slug, values or {}))
