"""How densities were read beside how the aim is meant: comparable, converted, or refused."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.jobs import DensityReading, JobRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Density status, polarising filter and backing; empty or ``None`` where nobody said."""

    status: str = ""
    polarised: bool | None = None
    backing: str = ""

    @property
    def said(self) -> dict[str, str]:
        """What was said, in words, by the name of the fact."""
        polarised = {None: "", True: label("density_way.polarised"), False: label("density_way.unpolarised")}
        facts = {
            "status": label("density_way.status", status=self.status) if self.status else "",
            "polarisation": polarised[self.polarised],
            "backing": label("density_way.backing", backing=self.backing) if self.backing else "",
        }
        return {name: words for name, words in facts.items() if words}

    @property
    def words(self) -> str:
        return ", ".join(self.said.values()) or label("density_way.unsaid")


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion:
    """From the way of the readings to that of the aim: offset + factor x density, from the shop's own sheets."""

    offset: float
    factor: float


def aim_way(job: JobRecord) -> Way:
    """How the aim of a job is meant to be read."""
    return Way(status=job.aim_status, polarised=job.aim_polarised, backing=job.aim_backing)


def way_of(reading: DensityReading) -> Way:
    """How a density was read."""
    return Way(status=reading.status, polarised=reading.polarised, backing=reading.backing)


def differing(one: Way, other: Way) -> tuple[str, ...]:
    """Facts that were said of both and are not the same."""
    first, second = one.said, other.said
    return tuple(name for name in first if name in second and first[name] != second[name])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetRead:
    """One sheet's densities by zone (not a number where none was read), as the aim is meant."""

    sheet: int | None
    densities: Array
    notes: tuple[Problem, ...]


def sheet_read(
    job: JobRecord, *, zones: int, sheet: int | None = None, conversion: Conversion | None = None
) -> SheetRead:
    """The sheet called ``sheet``; otherwise the OK sheet, or the last there is.

    Several patches of a zone are averaged. :class:`Refusal` where nothing was read, or in another way than the aim
    is meant, without a ``conversion``.
    """
    number, readings = _of_one_sheet(job.readings, sheet)
    if not readings:
        raise Refusal(
            Problem("job-sheet-unread", {"title": job.title, "sheet": label("job.any") if sheet is None else sheet})
        )
    aim = aim_way(job)
    if conversion is None:
        _refuse_other_ways(aim, readings)
    values = np.array([each.density for each in readings])
    if conversion is not None:
        values = conversion.offset + conversion.factor * values
    at = np.array([each.zone - 1 for each in readings])
    counts, sums = np.bincount(at, minlength=zones), np.bincount(at, weights=values, minlength=zones)
    densities = np.divide(sums, counts, out=np.full(zones, np.nan), where=counts > 0)
    notes = () if conversion is not None else tuple(_unsaid(aim, readings))
    return SheetRead(sheet=number, densities=densities, notes=notes)


def _of_one_sheet(
    readings: Sequence[DensityReading], sheet: int | None
) -> tuple[int | None, tuple[DensityReading, ...]]:
    """The number of a sheet and its readings."""
    numbered = [each.sheet for each in readings if each.sheet is not None]
    if sheet is None and numbered and all(each.sheet is not None for each in readings):
        sheet = max(numbered)
    return sheet, tuple(each for each in readings if each.sheet == sheet)


def _refuse_other_ways(aim: Way, readings: Sequence[DensityReading]) -> None:
    ways = {way_of(each): differing(aim, way_of(each)) for each in readings}
    problems = [
        Problem("job-density-way", {"read": way.words, "aim": aim.words, "facts": _named(facts)})
        for way, facts in ways.items()
        if facts
    ]
    if problems:
        raise Refusal(problems)


def _unsaid(aim: Way, readings: Sequence[DensityReading]) -> Iterator[Problem]:
    """One note on all that nobody said of the aim or of a reading."""
    ways = [aim, *(way_of(each) for each in readings)]
    facts = [name for name in ("status", "polarisation", "backing") if any(name not in way.said for way in ways)]
    if facts:
        yield Problem("job-density-way-unsaid", {"facts": _named(facts)})


def _named(facts: Sequence[str]) -> str:
    return ", ".join(label(f"density_fact.{name}") for name in facts)
