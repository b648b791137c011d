"""From the study of a job to its answer in plain records."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.density import DensityCurve
from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.setup.aim import SolidAim, density_of
from filmsplit.setup.quantity import InkNeed, ink_need
from filmsplit.setup.readings import KeyReading, readings_of
from filmsplit.simulation.state import stored_um_mm2
from filmsplit.studies.job_answer import SetBar, SetInk, SetKey, SetStart, SetSweep, SetUnit
from filmsplit.studies.job_start import JobStart, state_before
from filmsplit.studies.job_study import JobStudy


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """What is told of a job besides the question: where it stands in the order of inks, and amounts of ink."""

    pass_number: int
    ink: str
    coverage: Array
    water: Problem
    washes: tuple[Problem, ...] = ()
    last_time: tuple[str, ...] = ()
    least_fill_kg: float = 0.0
    left_over_kg: float = 0.0
    notes: tuple[Problem, ...] = ()


def unit_told(study: JobStudy, ordered: Ordered) -> SetUnit:
    """Everything about one ink on one unit."""
    settings, aim = study.settings, study.question.aim
    return SetUnit(
        pass_number=ordered.pass_number,
        unit=study.setting.unit.id,
        ink=ordered.ink,
        aim_um=settings.aim_um,
        aim_density=aim.density if isinstance(aim, SolidAim) else None,
        sweep=_sweep(study),
        keys=tuple(_keys(study, ordered.coverage)),
        mean_open=settings.plan.keys.mean_open,
        band_coverage=study.first.coverage,
        look_again=study.look_again,
        start=None if study.start is None else _start(study, study.start),
        ink_need=_ink(study, ordered),
        bars=_bars(study),
        washes=ordered.washes,
        last_time=ordered.last_time,
        learned_jobs=0 if study.question.learned is None else study.question.learned.jobs,
        water=ordered.water,
        error=float(study.solution.statistics.error),
        notes=(*ordered.notes, *study.notes),
    )


def _sweep(study: JobStudy) -> SetSweep | None:
    reading, mm = study.settings.sweep_reading, study.settings.plan.sweep_mm
    return None if reading is None or mm is None else SetSweep(reading=reading, mm=mm)


def _keys(study: JobStudy, coverage: Array) -> Iterator[SetKey]:
    settings, curve = study.settings, study.question.curve
    fountain = study.setting.unit.fountain
    assert fountain is not None
    asked, prints = settings.weights > 0, study.zoned.prints_um(study.solution)
    starts, first = start_readings(study), study.first
    for i, (key, reading, stay) in enumerate(
        zip(settings.plan.keys.zones, settings.readings, study.stays, strict=True)
    ):
        films = (prints[i], first.low_um[i], first.high_um[i]) if asked[i] else (None,) * 3
        densities = tuple(_density(film, curve) for film in films)
        yield SetKey(
            zone=key.zone,
            width_mm=fountain.zone_widths_mm[i],
            coverage=float(coverage[i]),
            reading=reading.reading,
            opening=reading.opening,
            film_um=float(settings.set_films_um[i]),
            print_um=_number(films[0]),
            low_um=_number(films[1]),
            high_um=_number(films[2]),
            density=densities[0],
            density_low=densities[1],
            density_high=densities[2],
            reached=key.aim_um is None or key.reached,
            start_reading=None if starts is None else starts[i].reading,
            turns_on_rollers=stay.turns if np.isfinite(stay.turns) and asked[i] else None,
        )


def _number(value: float | None) -> float | None:
    return None if value is None else float(value)


def _density(film_um: float | None, curve: DensityCurve | None) -> float | None:
    return None if film_um is None or curve is None else density_of(float(film_um), curve)


def start_readings(study: JobStudy) -> tuple[KeyReading, ...] | None:
    """The keys of the first sheets; ``None`` where the plan begins with the run settings."""
    if study.start is None or study.start.plan.run_settings_from == 1:
        return None
    settings, factor = study.settings, study.start.plan.factor
    return readings_of(factor * np.array([each.opening for each in settings.readings]), settings.scale)


def _start(study: JobStudy, start: JobStart) -> SetStart:
    plan, run = start.plan, start.run
    held_off = start.short and plan.ductor_off_after < start.planned_sheets
    return SetStart(
        charge_revolutions=plan.charge_revolutions,
        factor=plan.factor,
        run_settings_from=plan.run_settings_from,
        ductor_off_after=plan.ductor_off_after if held_off else None,
        first_good=start.first_good,
        short=start.short,
        sheets=start.planned_sheets,
        waste=run.waste,
        plain_waste=start.plain.waste,
        sheets_63=start.sheets_63,
        sheets_95=start.sheets_95,
        settled_mean=float(_weighted(study, start.aim)),
        tolerance=start.tolerance,
        values_unit="µm" if study.question.curve is None else "D",
        values_low=_each(run.densities.min(axis=1)),
        values_mean=_each(_weighted(study, run.densities)),
        values_high=_each(run.densities.max(axis=1)),
        plain_mean=_each(_weighted(study, start.plain.densities)),
    )


def _weighted(study: JobStudy, values: Array) -> Array:
    """Mean over the zones with image (last axis), each weighing as its image."""
    weights = study.settings.weights
    return np.asarray(values @ weights[weights > 0] / weights.sum())


def _each(values: Array) -> tuple[float, ...]:
    return tuple(map(float, values))


def _bars(study: JobStudy) -> tuple[SetBar, ...]:
    found = () if study.bars is None else study.bars.bars
    return tuple(SetBar(zone=b.zone, width_mm=b.width_mm, length_mm=b.length_mm, turns=b.turns) for b in found)


def _ink(study: JobStudy, ordered: Ordered) -> SetInk:
    need = _need(study, ordered, sheets=study.question.run or 0)
    thousand = _need(study, ordered, sheets=1000).printed_kg
    known = study.question.run is not None
    return SetInk(
        printed_kg=need.printed_kg if known else None,
        charge_kg=need.charge_kg,
        fountain_kg=need.fountain_kg,
        left_over_kg=need.left_over_kg,
        total_kg=need.total_kg if known else None,
        per_1000_sheets_kg=thousand,
    )


def _need(study: JobStudy, ordered: Ordered, *, sheets: int) -> InkNeed:
    answers, zoned = study.solution.answers, study.zoned
    assert answers is not None
    state = state_before(zoned, study.solution, question=study.question)
    already = 0.0 if state is None else stored_um_mm2(zoned.train, state, zoned.demand.coverage)
    return ink_need(
        sheets=sheets,
        sheet_um_mm2=float(zoned.prints_um(study.solution) @ zoned.image_mm2),
        stored_um_mm2=answers.stored_um_mm2,
        already_um_mm2=already,
        density_g_per_cm3=study.setting.density_g_per_cm3,
        least_fill_kg=ordered.least_fill_kg,
        left_over_kg=ordered.left_over_kg,
    )
