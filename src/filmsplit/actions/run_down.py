"""The run-down test of a press: its plan, and what the readings of one patch on every sheet told."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from pathlib import Path
from statistics import NormalDist

import numpy as np

from filmsplit.actions.find import find_press
from filmsplit.actions.job_train import fountain_of, settling
from filmsplit.actions.run_down_answer import ContactAnswer, FoundAnswer, IntervalAnswer, RunDownAnswer, StageAnswer
from filmsplit.formats.run_down_file import SheetDensity, read_run_down
from filmsplit.ink.density import DensityCurve
from filmsplit.ink.splitting import Array
from filmsplit.library.inks import Ink, ink, ink_named, inks
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.setup.aim import ASSUMED_CURVE, curve_per_um
from filmsplit.setup.key_scale import key_scale
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.limits import limits_on
from filmsplit.setup.readings import openings_of
from filmsplit.setup.run_down import FEWEST_SHEETS, MOST_SHEETS, RunDownPlan, Stage, plan_run_down, run_down
from filmsplit.setup.run_down_fit import READING_ERROR, RunDown, RunDownPriors, fit_run_down
from filmsplit.setup.sweep_range import sweep_range
from filmsplit.setup.zones import ZonedTrain
from filmsplit.studies.film_question import COVERAGE, FilmQuestion
from filmsplit.studies.film_setting import FilmSetting, settings_of
from filmsplit.studies.zoned import zoned_train

KIND = "run-down 1"
"""What the answer calls itself as JSON."""

MOST_CELLS = 30_000
"""Cells of the train: on two demo presses patch and store differ by 0.4 % at most from three times as many cells."""

ALL = "all"
"""The stage with all form rollers on the plate, as files write it."""

COVERED = 0.8
"""Part of tests in which an interval holds the truth."""

MICROLITRES = 1e-6
"""Cubic centimetres in one um mm2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunDownAsked:
    """Everything that may be told of the test. Empty or ``None`` leaves it to the action, which says what it assumed.

    ``coverage_percent`` and ``keys`` (readings) are one for all zones, or one for each from the operator's side.
    ``singly``: can each form roller be thrown off by itself? ``constants`` are saturation and rate per g/m2.
    """

    unit: str | None = None
    zone: int | None = None
    sheets: int | None = None
    singly: bool = True
    coverage_percent: tuple[float, ...] = ()
    keys: tuple[float, ...] = ()
    sweep: float | None = None
    sheet_mm: tuple[float, float] | None = None
    ink: str = ""
    constants: tuple[float, float] | None = None
    reading_error: float = READING_ERROR
    priors: RunDownPriors = field(default_factory=RunDownPriors)


def ask_run_down(reference: str, asked: RunDownAsked, *, readings: Path | None = None) -> RunDownAnswer:
    """The plan, and with ``readings`` what they told. :class:`Refusal` with everything that stands in the way."""
    press = find_press(reference).press
    unit = units_asked(press, asked.unit)[0]
    sheets = read_run_down(readings) if readings is not None else ()
    test = _test_of(press, unit, asked)
    with settling():
        plan = _as_run(test.plan, sheets, asked=asked)
        answer = test.planned(plan)
        return test.told(answer, plan, sheets=sheets) if sheets else answer


# The test on its press ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Test:
    """A test on its unit: as planned, with its ink and what was assumed."""

    press: Press
    setting: FilmSetting
    asked: RunDownAsked
    plan: RunDownPlan
    ink: Ink
    curve: DensityCurve
    notes: tuple[Problem, ...]

    def planned(self, plan: RunDownPlan) -> RunDownAnswer:
        """The answer without readings."""
        edges, first_mm = self.setting.zone_edges_mm, self.setting.sheet.first_mm
        return RunDownAnswer(
            press=self.press.id,
            invented=self.press.invented,
            unit=self.setting.unit.id,
            ink=self.ink.slug,
            density_g_per_cm3=self.ink.density_g_per_cm3,
            zone=plan.zone,
            patch_first_mm=max(edges[plan.zone - 1] - first_mm, 0.0),
            patch_end_mm=min(edges[plan.zone] - first_mm, self.setting.sheet.width_mm),
            sheets=plan.sheets,
            stages=tuple(_stages(plan, contact=self.asked.priors.contact)),
            found=None,
            notes=self.notes,
        )

    def told(self, planned: RunDownAnswer, plan: RunDownPlan, *, sheets: Sequence[SheetDensity]) -> RunDownAnswer:
        """The answer with what the readings told, and the notes that go with it."""
        read = {each.sheet: each.density for each in sheets}
        densities = [read.get(number) for number in range(1, max(read) + 1)]
        found = fit_run_down(
            plan,
            densities,
            curve=self.curve,
            reading_error=self.asked.reading_error,
            priors=self.asked.priors,
            coverage=COVERED,
        )
        answer = FoundAnswer(
            stored_um_mm2=_plain(found.stored_um_mm2.value, found.stored_um_mm2.low, found.stored_um_mm2.high),
            stored_g=_weight(found, self.ink),
            contacts=tuple(_contacts(found, self.setting.unit)),
            misfit=found.misfit,
            coverage=COVERED,
            sheets_read=sum(density is not None for density in densities),
        )
        following = tuple(_next(answer.contacts, priors=self.asked.priors))
        notes = (*found.notes, *following, *self.notes, *self._assumed_curve())
        return replace(planned, found=answer, notes=notes)

    def _assumed_curve(self) -> Iterator[Problem]:
        if self.asked.constants is None:
            yield Problem("run-down-constants-assumed", {"saturation": self.curve.saturation, "rate": self.curve.rate})


def _test_of(press: Press, unit: Unit, asked: RunDownAsked) -> _Test:
    """:class:`Refusal` with all that cannot be asked."""
    problems = list(_problems(unit, asked))
    if problems:
        raise Refusal(problems)
    ink_of, ink_notes = _ink(asked.ink)
    coverage = _by_zone(tuple(each / 100 for each in asked.coverage_percent) or (COVERAGE,), unit)
    question = FilmQuestion(
        coverage=coverage if asked.coverage_percent else None,
        sheet_mm=asked.sheet_mm,
        key_films_um=tuple(float(each) for each in _films_um(unit, asked, coverage=coverage)),
        sweep_mm=_sweep_mm(unit, asked),
        density_g_per_cm3=ink_of.density_g_per_cm3,
    )
    (setting,) = settings_of(press, (unit,), question)
    zoned = zoned_train(setting, most_cells=MOST_CELLS)
    keys_assumed = () if asked.keys else (Problem("run-down-keys-assumed"),)
    return _Test(
        press=press,
        setting=setting,
        asked=asked,
        plan=plan_run_down(
            zoned,
            np.array(question.key_films_um),
            zone=asked.zone or _zone_of(zoned),
            singly=asked.singly,
            sheets=MOST_SHEETS if asked.sheets is None else asked.sheets,
        ),
        ink=ink_of,
        curve=_curve(asked, ink_of),
        notes=(*ink_notes, *keys_assumed, *setting.assumptions),
    )


def _problems(unit: Unit, asked: RunDownAsked) -> Iterator[Problem]:
    if unit.fountain is None:
        yield Problem("ink-no-fountain", {"unit": unit.id})
        return
    fountain, zones = unit.fountain, len(unit.fountain.zone_widths_mm)
    for what, values in (("coverage", asked.coverage_percent), ("keys", asked.keys)):
        if len(values) not in (0, 1, zones):
            yield Problem("job-zones-count", {"what": what, "given": len(values), "zones": zones})
    saturation, rate = asked.constants or (None, None)
    yield from _out_of_range("zone", asked.zone, low=1, high=zones)
    yield from _out_of_range("sweep", asked.sweep, low=fountain.sweep.lowest, high=fountain.sweep.highest)
    yield from _out_of_range("reading-error", asked.reading_error, low=0.001, high=0.2)
    yield from _out_of_range("saturation", saturation, low=0.1, high=5.0)
    yield from _out_of_range("rate", rate, low=0.01, high=20.0)
    for key in asked.keys:
        yield from _out_of_range("keys", key, low=fountain.keys.lowest, high=fountain.keys.highest)
    # The edge of a zone goes to the nearest column, so that a bare zone can get a sliver of its neighbour's image.
    bare = [number for number, each in enumerate(_by_zone(asked.coverage_percent, unit), start=1) if each <= 0]
    if asked.zone in bare:
        yield Problem("setup-run-down-no-image", {"zone": asked.zone})
    if asked.keys and max(asked.keys) <= fountain.keys.lowest:
        yield Problem("run-down-keys-shut")
    if asked.ink and ink_named(asked.ink) is None:
        yield Problem("run-down-ink-unknown", {"given": asked.ink[:40], "known": ", ".join(e.slug for e in inks())})


def _out_of_range(option: str, value: float | None, *, low: float, high: float) -> Iterator[Problem]:
    """NaN is out of every range."""
    if value is not None and not low <= value <= high:
        values = {"option": f"--{option}", "value": value, "low": low, "high": high, "unit": ""}
        yield Problem("setup-number-out-of-range", values)


def _ink(name: str) -> tuple[Ink, tuple[Problem, ...]]:
    """The ink meant, and what was assumed of it. The name was checked."""
    named = ink_named(name) if name else None
    if named is not None:
        return named, ()
    assumed = ink()
    values = {"ink": assumed.slug, "density": assumed.density_g_per_cm3}
    return assumed, (Problem("run-down-ink-assumed", values),)


def _curve(asked: RunDownAsked, ink_of: Ink) -> DensityCurve:
    """Constants per um."""
    if asked.constants is None:
        return ASSUMED_CURVE
    return curve_per_um(DensityCurve(*asked.constants), density_g_per_cm3=ink_of.density_g_per_cm3)


def _by_zone(values: tuple[float, ...], unit: Unit) -> tuple[float, ...]:
    zones = len(fountain_of(unit).zone_widths_mm)
    return values * zones if len(values) == 1 else values


def _films_um(unit: Unit, asked: RunDownAsked, *, coverage: tuple[float, ...]) -> Array:
    """Film on the fountain roller by zone: from the readings, or in proportion to the coverage.

    Its level does not count: the test is told as parts of the settled print.
    """
    fountain = fountain_of(unit)
    scale = key_scale(fountain)
    if asked.keys:
        openings = openings_of(np.array(_by_zone(asked.keys, unit)), scale)
    else:
        openings = np.array(coverage) / max(*coverage, 1e-9)
    films = films_per_opening(scale.full_um, coupling=limits_on(fountain.blade).coupling) @ openings
    return np.asarray(films, dtype=np.float64)


def _sweep_mm(unit: Unit, asked: RunDownAsked) -> float | None:
    if asked.sweep is None:
        return None
    return asked.sweep * sweep_range(fountain_of(unit).sweep, unit=unit.id).mm_per_division


def _zone_of(zoned: ZonedTrain) -> int:
    """The zone with most image; among like ones the nearest to the middle."""
    image = zoned.image_cells
    middle = (image.size - 1) / 2
    fullest = np.flatnonzero(image >= 0.98 * image.max())
    return int(min(fullest, key=lambda zone: abs(zone - middle))) + 1


# The stages -----------------------------------------------------------------------------------------------------------


def _as_run(plan: RunDownPlan, sheets: Sequence[SheetDensity], *, asked: RunDownAsked) -> RunDownPlan:
    """The plan with the stages as the readings have them, where these say."""
    if not any(each.stage for each in sheets):
        return plan
    last = sheets[-1].sheet
    if not FEWEST_SHEETS <= last <= MOST_SHEETS or asked.sheets not in (None, last):
        read = sum(each.density is not None for each in sheets)
        values = {"read": read, "sheets": last, "planned": asked.sheets or MOST_SHEETS, "fewest": FEWEST_SHEETS}
        raise Refusal(Problem("setup-run-down-readings", values))
    words = _stage_words(sheets, {ALL: ALL, **{form.lower(): form for form in plan.forms}})
    stages = tuple(
        Stage(forms=plan.forms if word == ALL else (word,), sheets=len(tuple(run))) for word, run in groupby(words)
    )
    return replace(plan, stages=stages)


def _stage_words(sheets: Sequence[SheetDensity], known: dict[str, str]) -> list[str]:
    """The stage of every sheet from 1 on; a sheet that is not there goes with the one before."""
    listed = ", ".join(known.values())
    problems = [
        Problem("run-down-stage-unknown", {"sheet": each.sheet, "given": each.stage, "known": listed})
        for each in sheets
        if each.stage and each.stage.lower() not in known
    ]
    if problems:
        raise Refusal(problems)
    told = {each.sheet: known[each.stage.lower()] for each in sheets if each.stage}
    words = [told.get(1, ALL)]
    if words[0] != ALL:
        raise Refusal(Problem("run-down-first-stage", {"given": words[0]}))
    for number in range(2, sheets[-1].sheet + 1):
        words.append(told.get(number, words[-1]))
    return words


def _stages(plan: RunDownPlan, *, contact: float) -> Iterator[StageAnswer]:
    """Each stage, with what is to be expected at its end."""
    films = run_down(plan, split=0.0, contacts=[contact] * len(plan.forms)).films
    first = 1
    for stage in plan.stages:
        last = first + stage.sheets - 1
        yield StageAnswer(first_sheet=first, sheets=stage.sheets, forms=stage.forms, fades_to=float(films[last - 1]))
        first = last + 1


# What was told --------------------------------------------------------------------------------------------------------


def _plain(value: float, low: float, high: float) -> IntervalAnswer:
    return IntervalAnswer(value=value, low=low, high=high)


def _weight(found: RunDown, ink_of: Ink) -> IntervalAnswer:
    """Grams: the doubts about store and density added as independent ones, in parts."""
    store = found.stored_um_mm2
    wide = NormalDist().inv_cdf((1 + COVERED) / 2) * ink_of.sigma_g_per_cm3 / ink_of.density_g_per_cm3
    low, high = (math.hypot(math.log(end / store.value), wide) for end in (store.low, store.high))
    grams = store.value * MICROLITRES * ink_of.density_g_per_cm3
    return _plain(grams, grams * math.exp(-low), grams * math.exp(high))


def _contacts(found: RunDown, unit: Unit) -> Iterator[ContactAnswer]:
    for each in found.contacts:
        share = _plain(each.share.value, each.share.low, each.share.high)
        yield ContactAnswer(form=each.form, name=unit.roller(each.form).name, share=share, told=each.told)


def _next(contacts: Sequence[ContactAnswer], *, priors: RunDownPriors) -> Iterator[Problem]:
    """Form rollers whose whole interval lies more than one deviation below what is usual (invented default)."""
    usual = priors.contact - priors.contact_sigma
    told = [each for each in contacts if each.told]
    light = [each for each in told if each.share.high < usual]
    for each in light:
        values = {"roller": each.form, "share": f"{each.share.value:.2f}", "high": f"{each.share.high:.2f}"}
        yield Problem("run-down-form-light", {**values, "usual": f"{usual:.2f}"})
    if told and not light:
        yield Problem("run-down-forms-usual")
