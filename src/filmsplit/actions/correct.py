"""From one measured sheet of a job to the moves of its keys, and the sheet at which to look again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from filmsplit.actions.density_ways import Conversion, SheetRead, sheet_read
from filmsplit.actions.job_train import curve_of, fountain_of, keys_of, lacking, settling, sweep_mm_of, train_of
from filmsplit.actions.jobs import Checked, Told, checked, show
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press.words import KeyKind
from filmsplit.records.jobs import JobRecord
from filmsplit.setup.aim import SolidAim, film_for
from filmsplit.setup.as_set import AsSet, as_set
from filmsplit.setup.correct import READING_ERROR, Correction, Measured, correct
from filmsplit.setup.first_sheet import Spread
from filmsplit.setup.key_scale import KeyScale, Origin, key_scale
from filmsplit.setup.limits import limits_on
from filmsplit.setup.wait import wait_for
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.response import start_up
from filmsplit.simulation.settle import settle
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.train import Train

KIND = "correction 1"
"""What the answer calls itself as JSON."""

ACCURACY = 1e-4
"""Of the settled print: far inside what a densitometer can read."""

PRESS_UNKNOWN = 0.6
"""Part by which all keys together may be off where nobody knows their film: it was assumed (invented default)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyCorrected:
    """One key: readings in the press's own unit, densities net of paper. ``None``: not read, or not known."""

    zone: int
    density: float | None
    off: float | None
    now: float
    then: float
    move: float
    limited: bool
    expected_density: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected:
    """The moves. ``sheet`` is the sheet read (``None``: the OK sheet); ``look_again`` counts sheets from the moves on,
    ``None`` where the print would not come to rest in the sheets that were followed."""

    press: str
    unit: str
    invented: bool
    title: str
    code: str
    sheet: int | None
    aim_density: float
    reading_error: float
    key_kind: KeyKind
    keys: tuple[KeyCorrected, ...]
    look_again: int | None
    notes: tuple[Problem, ...]

    @property
    def moves(self) -> tuple[KeyCorrected, ...]:
        """The keys that are moved."""
        return tuple(key for key in self.keys if key.move)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How to read the sheet: its number (``None``: the OK sheet, or the last), one standard deviation of a reading,
    and what makes the readings comparable with the aim where they are not."""

    sheet: int | None = None
    reading_error: float = READING_ERROR
    conversion: Conversion | None = None


def correct_told(reference: str, job: JobRecord, *, told: Told, asked: Asked | None = None) -> Corrected:
    """Moves from what was told of a job that is not on record."""
    return correct_checked(checked(reference, job, told), asked=asked or Asked())


def correct_logged(  # noqa: PLR0913  (all but two are named)
    records: Path,
    code: str,
    *,
    told: Told,
    facts: Mapping[str, Any] | None = None,
    press: str = "",
    asked: Asked | None = None,
) -> Corrected:
    """Moves for the job on record as ``code``; what is ``told`` goes before what is on record, and so do ``facts``.

    ``facts`` are by the names of the record's fields; ``press`` is the file of the press where it is none of the demo
    workshop. :class:`Refusal` where its id is not the job's.
    """
    job = replace(show(records, code), **facts or {})
    found = checked(press or job.press, job, _with(job, told))
    if found.press.id != job.press:
        raise Refusal(Problem("job-other-press", {"code": job.code, "press": job.press, "given": found.press.id}))
    kept = found.job if found.job.readings else replace(found.job, readings=job.readings)
    return correct_checked(replace(found, job=replace(kept, code=job.code)), asked=asked or Asked())


def correct_checked(found: Checked, *, asked: Asked) -> Corrected:
    """Moves for a job that fits its press. :class:`Refusal` with everything that is lacking."""
    unit, job, fountain = found.unit, found.job, fountain_of(found.unit)
    problems = [*lacking(unit, job), *_no_aim(job)]
    if problems:
        raise Refusal(problems)
    assert job.aim_density is not None
    sheet = sheet_read(job, zones=len(fountain.zone_widths_mm), sheet=asked.sheet, conversion=asked.conversion)
    with settling():
        moved = _moved(found, sheet, aim_density=job.aim_density, reading_error=asked.reading_error)
    return Corrected(
        press=found.press.id,
        unit=unit.id,
        invented=found.press.invented,
        title=job.title,
        code=job.code,
        sheet=sheet.sheet,
        aim_density=job.aim_density,
        reading_error=asked.reading_error,
        key_kind=fountain.keys.kind,
        keys=tuple(_keys(moved.keys, moved.correction, sheet=sheet, aim_density=job.aim_density)),
        look_again=moved.look_again,
        notes=(*moved.notes, *sheet.notes, *curve_of(job)[1], *sweep_mm_of(unit, job)[1]),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Moved:
    """The keys as they stand, their moves, and how long these take."""

    keys: AsSet
    correction: Correction
    look_again: int | None
    notes: tuple[Problem, ...]


def _moved(found: Checked, sheet: SheetRead, *, aim_density: float, reading_error: float) -> _Moved:
    job, fountain = found.job, fountain_of(found.unit)
    curve, scale = curve_of(job)[0], key_scale(fountain)
    zoned = train_of(found.press, found.unit, job)
    keys = as_set(
        zoned,
        keys_of(job),
        aim_um=film_for(SolidAim(density=aim_density, curve=curve)),
        scale=scale,
        limits=limits_on(fountain.blade),
        accuracy=ACCURACY,
    )
    measured = Measured(densities=sheet.densities, curve=curve, reading_error=reading_error)
    correction = correct(keys, measured, spread=_spread(scale))
    demand = zoned.keyed(keys.films_um(keys.openings))
    before = settle(zoned.train, demand, accuracy=ACCURACY, throw=True)
    return _Moved(
        keys=keys,
        correction=correction,
        look_again=wait_for(zoned, correction.films_um, before=before, accuracy=ACCURACY).look_again,
        notes=(*correction.notes, *_early(zoned.train, demand, before=before, sheet=sheet), scale.told(found.unit.id)),
    )


def _no_aim(job: JobRecord) -> Iterator[Problem]:
    if job.aim_density is None:
        yield Problem("job-lacks", {"title": job.title, "what": label("job_lacks.aim")})


def _with(job: JobRecord, told: Told) -> Told:
    """What is told now, and from the record what is not."""
    zones = sorted(job.zones, key=lambda zone: zone.zone)
    keys = tuple(zone.key for zone in zones if zone.key is not None)
    percents = tuple(100 * zone.coverage for zone in zones if zone.coverage is not None)
    return replace(told, keys=told.keys or keys, coverage_percent=told.coverage_percent or percents)


def _spread(scale: KeyScale) -> Spread:
    """How far keys and press are likely to be off: a zero by what can be set, the press by more where it is assumed."""
    wide = Spread(zero_divisions=scale.settable)
    return replace(wide, press_low=PRESS_UNKNOWN, press_high=PRESS_UNKNOWN) if scale.origin is Origin.ASSUMED else wide


def _early(train: Train, demand: Demand, *, before: Solution, sheet: SheetRead) -> Iterator[Problem]:
    """A sheet pulled before a press with clean rollers would have come to rest says more of the start than of keys."""
    if sheet.sheet is None:
        return
    found = start_up(train, demand, solution=before).sheets_95
    if found is None or sheet.sheet < found:
        yield Problem("job-sheet-early", {"sheet": sheet.sheet, "sheets": found or label("job.never")})


def _keys(keys: AsSet, correction: Correction, *, sheet: SheetRead, aim_density: float) -> Iterator[KeyCorrected]:
    limited = {move.zone for move in correction.moves if move.limited}
    moved = {move.zone for move in correction.moves}
    for number, (old, new) in enumerate(zip(keys.readings, correction.readings, strict=True)):
        density = float(sheet.densities[number])
        read = not np.isnan(density)
        yield KeyCorrected(
            zone=old.zone,
            density=density if read else None,
            off=density - aim_density if read else None,
            now=old.reading,
            then=new.reading,
            move=new.reading - old.reading if old.zone in moved else 0.0,
            limited=old.zone in limited,
            expected_density=float(correction.expected_densities[number]),
        )
