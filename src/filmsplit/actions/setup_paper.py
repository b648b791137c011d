"""A job that is set, as the contexts of its paper: set-up sheet and key strip of one ink on one unit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from filmsplit.actions.setup import Set
from filmsplit.actions.setup_words import expected_of, pass_words, start_lines, sweep_words
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.heading import subject_of
from filmsplit.figures.plate_look import ON_PAPER
from filmsplit.figures.plate_picture import draw_plate
from filmsplit.figures.plate_seen import PlateSeen
from filmsplit.figures.sheet_course import Event, SheetCourse, draw_sheet_course
from filmsplit.figures.stage import unit_name
from filmsplit.library.procedures import OF_A_JOB, procedure
from filmsplit.messages import Problem, label
from filmsplit.messages.problem import Severity
from filmsplit.press import Press, Unit
from filmsplit.procedures.for_unit import fitted
from filmsplit.procedures.gate import passages_of
from filmsplit.reports.key_strip import KeyStrip
from filmsplit.reports.keys import KeyOnPaper, how_to_read, keys_on_paper
from filmsplit.reports.setup_sheet import Done, Expected, SetupSheet, Waits
from filmsplit.setup.keys import Reason
from filmsplit.setup.quantity import InkNeed
from filmsplit.setup.readings import KeyReading
from filmsplit.studies.job_answer import SetInk, SetStart, SetUnit

UNREACHED = frozenset(reason.value for reason in Reason) | {
    "setup-mean-key-small",
    "setup-mean-key-wide",
    "setup-mean-key-no-sweep",
}
STANDING = frozenset({"setup-ink-stays", "setup-take-off-bar", "setup-bar-too-short"})
"""Messages that have a place of their own on the sheet."""
OWN_PLACE = UNREACHED | STANDING | {"setup-keys-from-closed"}
"""And how keys in turns are set: the block of the keys says it."""


def sheet_of(found: Set, unit: SetUnit, *, code: str = "") -> SetupSheet:
    """The set-up sheet of one ink on one unit."""
    press, of, answer = found.press, found.press.unit(unit.unit), found.answer
    assert of.fountain is not None
    return SetupSheet(
        press=press.name or press.id,
        unit=_unit_words(press, of),
        invented=press.invented,
        job=answer.title,
        ink=unit.ink,
        stock=answer.stock,
        run=answer.run,
        keys=_keys(unit, of),
        how_to_read=how_to_read(of.fountain.keys.kind),
        sweep=sweep_words(unit, of),
        water=unit.water.what,
        expected=_expected(unit),
        waits=_waits(unit),
        ink_need=_need(unit.ink_need),
        curve=None if unit.start is None else _curve(press, of, unit.start),
        warnings=tuple(_told((*answer.notices, *unit.notes), warnings=True)),
        assumptions=tuple(_told((*answer.notices, *unit.notes), warnings=False)),
        limits=tuple(f"{each.what} {each.so}" for each in answer.limits),
        procedures=tuple(_done(each, of) for each in OF_A_JOB),
        code=code,
        passes=pass_words(answer, unit),
        aim=expected_of(unit),
        work=answer.work,
        start=tuple(start_lines(unit, first_keys=_first_keys(unit, of))),
        place=place_of(found, unit),
        washes=tuple(_said(unit.washes, frozenset(each.slug for each in unit.washes))),
        last_time=unit.last_time,
        unreached=tuple(_said(unit.notes, UNREACHED)),
        standing=tuple(_said(unit.notes, STANDING)),
    )


def place_of(found: Set, unit: SetUnit) -> Drawing | None:
    """What lies where on the plate of one ink; ``None`` where only figures by zone are known."""
    work = found.works[found.answer.units.index(unit)]
    if work.picture_mm is None:
        return None
    plate = next(each for each in work.plates if each.ink == unit.ink)
    seen = PlateSeen(
        placed=plate.placed,
        plate=work.on,
        placement=work.placement,
        zone_edges_mm=work.zones_mm,
        picture_mm=work.picture_mm,
        told=work.notices,
    )
    return draw_plate(subject_of(found.press, found.press.unit(unit.unit)), seen, look=ON_PAPER)


def strip_of(found: Set, unit: SetUnit, *, code: str = "") -> KeyStrip:
    """The key strip of one ink on one unit."""
    press, of = found.press, found.press.unit(unit.unit)
    assert of.fountain is not None
    return KeyStrip(
        press=press.name or press.id,
        unit=_unit_words(press, of),
        job=" · ".join(each for each in (found.answer.title, unit.ink) if each),
        keys=_keys(unit, of),
        how_to_read=how_to_read(of.fountain.keys.kind),
        sweep=sweep_words(unit, of),
        code=code,
    )


def _unit_words(press: Press, unit: Unit) -> str:
    return unit_name(unit) if len(press.units) > 1 else ""


def _keys(unit: SetUnit, of: Unit) -> tuple[KeyOnPaper, ...]:
    assert of.fountain is not None
    readings = [
        KeyReading(zone=key.zone, reading=key.reading, opening=key.opening, film_off_um=0.0) for key in unit.keys
    ]
    return keys_on_paper(
        readings,
        kind=of.fountain.keys.kind,
        widths_mm=of.fountain.zone_widths_mm,
        coverage=[key.coverage for key in unit.keys],
    )


def _first_keys(unit: SetUnit, of: Unit) -> str:
    """The readings to begin with, in a line; nothing where the plan begins with the run settings."""
    assert of.fountain is not None
    if all(key.start_reading is None for key in unit.keys):
        return ""
    readings = [
        KeyReading(zone=key.zone, reading=key.start_reading or 0.0, opening=key.opening, film_off_um=0.0)
        for key in unit.keys
    ]
    kind, widths = of.fountain.keys.kind, of.fountain.zone_widths_mm
    return " · ".join(key.reading for key in keys_on_paper(readings, kind=kind, widths_mm=widths))


def _expected(unit: SetUnit) -> Expected:
    """The mean of the zones with image, each weighing alike, and the narrowest band that holds every zone's."""
    dense = any(key.density is not None for key in unit.keys)
    asked = [key for key in unit.keys if key.print_um is not None]
    values = [(key.density if dense else key.print_um) or 0.0 for key in asked]
    lows = [(key.density_low if dense else key.low_um) or 0.0 for key in asked]
    highs = [(key.density_high if dense else key.high_um) or 0.0 for key in asked]
    return Expected(
        quantity=label("setup_wait.density" if dense else "setup_wait.film"),
        unit="D" if dense else "µm",
        value=sum(values) / max(len(values), 1),
        low=sum(lows) / max(len(lows), 1),
        high=sum(highs) / max(len(highs), 1),
        coverage=unit.band_coverage,
    )


def _waits(unit: SetUnit) -> Waits:
    start = unit.start
    return Waits(
        sheets_63=None if start is None else start.sheets_63,
        sheets_95=None if start is None else start.sheets_95,
        judge_key=unit.look_again,
    )


def _need(need: SetInk) -> InkNeed | None:
    if need.printed_kg is None:
        return None
    return InkNeed(
        printed_kg=need.printed_kg,
        charge_kg=need.charge_kg,
        fountain_kg=need.fountain_kg,
        left_over_kg=need.left_over_kg,
    )


def _curve(press: Press, of: Unit, start: SetStart) -> Drawing:
    """The plan beside plain settled settings, sheet by sheet, with the band of good sheets about the settled print."""
    planned = SheetCourse(
        name=label("setup_curve.planned"), mean=start.values_mean, low=start.values_low, high=start.values_high
    )
    plain = SheetCourse(name=label("setup_curve.plain"), mean=start.plain_mean)
    middle = start.settled_mean
    return draw_sheet_course(
        subject_of(press, of),
        [planned, plain],
        axis=label("setup_curve.axis_density" if start.values_unit == "D" else "setup_curve.axis_film"),
        band=(max(0.0, middle - start.tolerance), middle + start.tolerance),
        events=tuple(_events(start)),
    )


def _events(start: SetStart) -> Iterator[Event]:
    if start.run_settings_from > 1:
        yield Event(sheet=start.run_settings_from, words=label("setup_curve.change"))
    if start.first_good is not None:
        yield Event(sheet=start.first_good, words=label("setup_curve.good"))
    if start.ductor_off_after is not None:
        yield Event(sheet=start.ductor_off_after, words=label("setup_curve.ductor_off"))


def _told(problems: Sequence[Problem], *, warnings: bool) -> Iterator[str]:
    """Warnings with what to do, or all that was assumed; what has a place of its own is left out."""
    for problem in problems:
        own = problem.slug in OWN_PLACE
        if not own and (problem.severity is Severity.WARNING) is warnings:
            yield f"{problem.what} {problem.remedy}" if warnings else problem.what


def _said(problems: Sequence[Problem], slugs: frozenset[str]) -> Iterator[str]:
    for problem in problems:
        if problem.slug in slugs:
            yield f"{problem.what} {problem.remedy}"


def _done(id: str, unit: Unit) -> Done:
    made = fitted(procedure(id), unit)
    return Done(title=made.title, source=made.source, passages=passages_of(made))
