"""What the API is told and says of fountain solution."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, ClassVar, Literal

from pydantic import ConfigDict, Field

from filmsplit.actions.solution import PressSolution
from filmsplit.condition.solution import Rise, Sample, Where
from filmsplit.condition.titration import TitrationLine
from filmsplit.condition.verdict import Verdict
from filmsplit.web.api.answering import ProblemSaid, said
from filmsplit.web.api.told import Line, Number

_ONLY_THESE = ConfigDict(extra="forbid")
_SAME = ("unit", "where", "fresh", "ph", "temperature_c", "alcohol_percent", "dose_percent", "hardness_dh")
MOST_DOSES = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleTold:
    """One sample. ``fresh``: a batch nobody has printed with yet. ``sure``: yes, it does read so."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    where: Where
    unit: Line = ""
    fresh: bool = False
    conductivity_us_per_cm: Number | None = None
    ph: Number | None = None
    temperature_c: Number | None = None
    alcohol_percent: Number | None = None
    dose_percent: Number | None = None
    hardness_dh: Number | None = None
    person: Line = ""
    note: Line = ""
    sure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseTold:
    """A reading of a titration line: the dose measured out, and what the meter showed."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    dose_percent: Number
    conductivity_us_per_cm: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class TitrationTold:
    """A titration line, to be put on record whole or not at all."""

    __pydantic_config__: ClassVar[ConfigDict] = _ONLY_THESE

    readings: Annotated[tuple[DoseTold, ...], Field(min_length=1, max_length=MOST_DOSES)]
    person: Line = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleSaid:
    """A sample on record; ``titration``: a reading of a titration line."""

    number: int
    day: date
    where: Where
    unit: str
    fresh: bool
    titration: bool
    conductivity_us_per_cm: float | None
    ph: float | None
    temperature_c: float | None
    alcohol_percent: float | None
    dose_percent: float | None
    hardness_dh: float | None
    person: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RiseSaid:
    """The last sample of one pan or tank, its fresh batch, and the rise; ``null`` where they cannot be compared."""

    now: SampleSaid
    fresh: SampleSaid
    rise_us_per_cm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineSaid:
    """A titration line: the water, the step of 1 %, and how far the reading that lies farthest off is off."""

    water_us_per_cm: float
    step_us_per_cm: float
    off_us_per_cm: float
    off_at_percent: float
    straight: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionAnswer:
    """The fountain solution of a press. ``verdict`` is ``null`` while nothing of it was sampled."""

    filmsplit: Literal["solution 1"] = "solution 1"
    press: str
    verdict: Verdict | None
    findings: tuple[ProblemSaid, ...]
    rises: tuple[RiseSaid, ...]
    line: LineSaid | None
    dose_percent: float | None
    samples: tuple[SampleSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleAnswer:
    """The sample that was put on record."""

    filmsplit: Literal["solution-sample 1"] = "solution-sample 1"
    sample: SampleSaid


@dataclass(frozen=True, slots=True, kw_only=True)
class LineAnswer:
    """The titration line that was put on record."""

    filmsplit: Literal["titration-line 1"] = "titration-line 1"
    line: LineSaid


def sample_said(sample: Sample) -> SampleSaid:
    """A sample."""
    return SampleSaid(
        number=sample.number,
        day=sample.day,
        titration=bool(sample.series),
        conductivity_us_per_cm=sample.us_per_cm,
        person=sample.person,
        note=sample.note,
        **{name: getattr(sample, name) for name in _SAME},
    )


def line_said(line: TitrationLine) -> LineSaid:
    """A titration line."""
    names = ("water_us_per_cm", "step_us_per_cm", "off_us_per_cm", "off_at_percent")
    return LineSaid(straight=line.is_straight, **{name: getattr(line, name) for name in names})


def solution_said(found: PressSolution) -> SolutionAnswer:
    """The solution of a press, its samples the oldest first."""
    judged = found.judged
    return SolutionAnswer(
        press=found.press.id,
        verdict=judged.verdict,
        findings=tuple(said(each.problem) for each in judged.findings),
        rises=tuple(map(_rise_said, judged.rises)),
        line=None if judged.line is None else line_said(judged.line),
        dose_percent=judged.dose_percent,
        samples=tuple(map(sample_said, found.samples)),
    )


def _rise_said(rise: Rise) -> RiseSaid:
    return RiseSaid(now=sample_said(rise.now), fresh=sample_said(rise.fresh), rise_us_per_cm=rise.rise_us_per_cm)


def sample_of(told: SampleTold, *, press: str, day: date, person: str) -> Sample:
    """The sample as told."""
    same = {name: getattr(told, name) for name in _SAME}
    return Sample(day=day, press=press, us_per_cm=told.conductivity_us_per_cm, person=person, note=told.note, **same)
