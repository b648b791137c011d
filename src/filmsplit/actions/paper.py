"""Paper for the press, from an answer about films: the keys it found, as a set-up sheet and a key strip."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from filmsplit.actions.film import Filmed
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.heading import subject_of
from filmsplit.figures.sheet_course import Event, SheetCourse, draw_sheet_course
from filmsplit.figures.stage import unit_name
from filmsplit.library.procedures import PROCEDURES, procedure
from filmsplit.messages import Problem, Refusal, label
from filmsplit.messages.problem import Severity
from filmsplit.press import Press, Unit
from filmsplit.press.asked import no_such_unit
from filmsplit.press.fountain import Fountain
from filmsplit.press.words import SweepKind
from filmsplit.procedures.for_unit import fitted
from filmsplit.procedures.gate import passages_of
from filmsplit.reports.key_strip import KeyStrip
from filmsplit.reports.keys import KeyOnPaper, how_to_read, keys_on_paper
from filmsplit.reports.setup_sheet import Done, Expected, SetupSheet, Waits
from filmsplit.setup.key_scale import KeyScale, key_scale
from filmsplit.setup.quantity import KG_PER_G, InkNeed
from filmsplit.setup.readings import readings_of
from filmsplit.setup.wait import wait_for
from filmsplit.setup.water import WaterStart, water_start
from filmsplit.simulation.solution import NotSettledError
from filmsplit.studies.film_answer import UnitAnswer
from filmsplit.studies.film_study import FilmStudy
from filmsplit.studies.zoned import zoned_on

MOVE = 0.1
"""Part by which keys are opened to see how long the change takes; the wait hardly depends on it (a linear train)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperJob:
    """What a person tells of the job besides the question. ``water`` is the start found in the records, if any."""

    title: str
    stock: str = ""
    run: int | None = None
    code: str = ""
    least_fill_kg: float = 0.0
    water: WaterStart | None = None


def sheet_of(filmed: Filmed, job: PaperJob, *, unit: str) -> SetupSheet:
    """The set-up sheet of one unit. :class:`Refusal` where its films did not settle or nothing is printed."""
    study, answer = _of_unit(filmed, unit)
    press, of = filmed.press, study.setting.unit
    keys, notes = _keys(study)
    water = job.water or water_start(
        (), press=press.id, unit=_unit_words(press, of) or press.name, paper=job.stock or "?"
    )
    told = [*answer.notes, *notes]
    return SetupSheet(
        press=press.name or press.id,
        unit=_unit_words(press, of),
        invented=press.invented,
        job=job.title,
        ink=filmed.answer.ink,
        stock=job.stock,
        run=job.run,
        keys=keys,
        how_to_read=how_to_read(_fountain(of).keys.kind),
        sweep=_sweep_words(study),
        water=water.told.what,
        expected=_expected(answer),
        waits=_waits(study, answer),
        ink_need=_need(answer, job),
        curve=_curve(press, study),
        warnings=tuple(_said(told, warnings=True)),
        assumptions=tuple(_said(told, warnings=False)),
        limits=tuple(f"{each.what} {each.so}" for each in filmed.answer.limits),
        procedures=tuple(_done(each, of) for each in PROCEDURES),
        code=job.code,
    )


def strip_of(filmed: Filmed, job: PaperJob, *, unit: str) -> KeyStrip:
    """The key strip of one unit. :class:`Refusal` as :func:`sheet_of`."""
    study, _ = _of_unit(filmed, unit)
    of = study.setting.unit
    return KeyStrip(
        press=filmed.press.name or filmed.press.id,
        unit=_unit_words(filmed.press, of),
        job=job.title,
        keys=_keys(study)[0],
        how_to_read=how_to_read(_fountain(of).keys.kind),
        sweep=_sweep_words(study),
        code=job.code,
    )


def _of_unit(filmed: Filmed, unit: str) -> tuple[FilmStudy, UnitAnswer]:
    for study, answer in zip(filmed.studies, filmed.answer.units, strict=True):
        if answer.unit == unit:
            if not study.prints:
                raise Refusal(Problem("paper-nothing-settled", {"unit": unit, "outcome": answer.outcome.what}))
            return study, answer
    known = [each.unit for each in filmed.answer.units]
    raise Refusal(no_such_unit(unit, press=filmed.press.id, known=known))


def _fountain(unit: Unit) -> Fountain:
    assert unit.fountain is not None
    return unit.fountain


def _unit_words(press: Press, unit: Unit) -> str:
    return unit_name(unit) if len(press.units) > 1 else ""


def _keys(study: FilmStudy) -> tuple[tuple[KeyOnPaper, ...], list[Problem]]:
    """The keys as this press reads them, and what that rests on. Keys that cannot open so far are told."""
    unit, fountain = study.setting.unit, _fountain(study.setting.unit)
    scale = key_scale(fountain)
    films_um = np.broadcast_to(np.asarray(study.keyed.films_um, dtype=np.float64), (len(fountain.zone_widths_mm),))
    openings = films_um / scale.full_um
    keys = keys_on_paper(readings_of(openings, scale), kind=scale.kind, widths_mm=fountain.zone_widths_mm)
    return keys, [scale.told(unit.id), *_out_of_reach(unit, openings, scale)]


def _out_of_reach(unit: Unit, openings: np.ndarray, scale: KeyScale) -> Iterator[Problem]:
    zones = np.flatnonzero(openings > 1.0)
    if zones.size:
        most_um = float((openings * scale.full_um).max())
        listed = ", ".join(str(zone + 1) for zone in zones)
        values = {"unit": unit.id, "zones": listed, "film_um": most_um, "full_um": float(scale.full_um.min())}
        yield Problem("paper-keys-too-small", values)


def _sweep_words(study: FilmStudy) -> str:
    """The sweep in the press's own words; in millimetres where nobody knows how far a division goes."""
    sweep_mm = study.setting.sweep_mm
    if sweep_mm is None:
        return ""
    sweep = _fountain(study.setting.unit).sweep
    if sweep.mm_per_division is None:
        return label("paper_sweep.mm", mm=f"{sweep_mm:.3g}")
    reading = sweep_mm / sweep.mm_per_division
    if sweep.kind is SweepKind.NOTCHED:
        return label("paper_sweep.notched", notches=f"{reading:.4g}", mm=f"{sweep_mm:.3g}")
    return label("paper_sweep.continuous", divisions=f"{reading:.3g}", mm=f"{sweep_mm:.3g}")


def _expected(answer: UnitAnswer) -> Expected:
    assert answer.films is not None
    band = answer.band
    return Expected(
        quantity=label("setup_wait.film"),
        unit="µm",
        value=answer.films.sheet_um,
        low=None if band is None else band.low_um,
        high=None if band is None else band.high_um,
        coverage=None if band is None else band.coverage,
    )


def _waits(study: FilmStudy, answer: UnitAnswer) -> Waits:
    found = answer.response
    assert found is not None
    return Waits(sheets_63=found.sheets_63, sheets_95=found.sheets_95, judge_key=_judge(study))


def _curve(press: Press, study: FilmStudy) -> Drawing:
    """The mean film from clean rollers on, with the sheets of 63 % and 95 %."""
    found = study.response
    assert found is not None
    course = SheetCourse(name=label("setup_wait.film"), mean=tuple(map(float, found.sheets_um)))
    marks = ((63, found.sheets_63), (95, found.sheets_95))
    events = [
        Event(sheet=sheet, words=label("film_figure.event-part", percent=percent))
        for percent, sheet in marks
        if sheet is not None
    ]
    subject = subject_of(press, study.setting.unit)
    return draw_sheet_course(subject, [course], axis=label("film_figure.axis-film"), events=events)


def _judge(study: FilmStudy) -> int | None:
    """Sheets until all keys opened a little wider have shown it, if that settles."""
    zoned = zoned_on(study.setting, study.train, demand=study.demand)
    films_um = np.broadcast_to(np.asarray(study.keyed.films_um, dtype=np.float64), (len(zoned.zones),))
    try:
        return wait_for(zoned, films_um * (1.0 + MOVE), before=study.solution).look_again
    except NotSettledError:
        return None


def _need(answer: UnitAnswer, job: PaperJob) -> InkNeed | None:
    if job.run is None or answer.ink is None:
        return None
    return InkNeed(
        printed_kg=job.run * answer.ink.printed_per_sheet_g * KG_PER_G,
        charge_kg=answer.ink.stored_g * KG_PER_G,
        fountain_kg=job.least_fill_kg,
        left_over_kg=0.0,
    )


def _said(problems: list[Problem], *, warnings: bool) -> Iterator[str]:
    for problem in problems:
        if (problem.severity is Severity.WARNING) is warnings:
            yield f"{problem.what} {problem.remedy}" if warnings else problem.what


def _done(id: str, unit: Unit) -> Done:
    made = fitted(procedure(id), unit)
    return Done(title=made.title, source=made.source, passages=passages_of(made))
