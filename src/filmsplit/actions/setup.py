"""Settings of a job: from the work and the press to keys, sweep, start, ink and water, ink by ink and pass by pass."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from filmsplit.actions.earlier import earlier_of, water_of
from filmsplit.actions.find import find_press
from filmsplit.actions.work import InkPlate, Work, WorkAsked, read_work, told_work
from filmsplit.ink.density import DensityCurve
from filmsplit.ink.transfer import FixedShare
from filmsplit.library.inks import DEFAULT_INK, Ink, inks
from filmsplit.library.limits import limits_of
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.setup.aim import Aim, FilmAim, SolidAim, curve_per_um, density_of
from filmsplit.setup.limits import KeyLimits
from filmsplit.simulation.solution import NotSettledError
from filmsplit.studies.film_answer import LimitAnswer
from filmsplit.studies.film_question import AIM_UM, FilmQuestion
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.job_answer import SetupAnswer
from filmsplit.studies.job_question import Before, JobQuestion
from filmsplit.studies.job_study import JobStudy, Stage, job_study
from filmsplit.studies.job_told import Ordered, unit_told

KIND = "setup 1"
"""What the answer calls itself as JSON."""

Told = Callable[[str, Stage], None]
"""Told the unit and the stage as it begins."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAsked:
    """What is told of a job besides the work.

    ``passes`` say which unit prints which ink, pass by pass; without them the inks go over the units in the order of
    the work, as often through the press as that takes. ``constants`` are saturation density and rate per g/m2
    (Tollenaar-Ernst) of this ink on this stock; a ``density`` is aimed at only with them. ``after`` is the code of the
    job before on this unit. ``tau`` is the share the sheet takes.
    """

    title: str = ""
    stock: str = ""
    run: int | None = None
    unit: str | None = None
    passes: tuple[tuple[tuple[str, str], ...], ...] = ()
    aim_um: float | None = None
    density: float | None = None
    constants: tuple[float, float] | None = None
    tolerance: float | None = None
    tau: float = 0.5
    before: Before = Before.CLEAN
    after: str = ""
    sweep: float | None = None
    limits: KeyLimits | None = None
    least_fill_kg: float = 0.0
    left_over_kg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Set:
    """The answer, and what paper and pictures need besides: press, work, and one study for each of ``answer.units``."""

    press: Press
    works: tuple[Work, ...]
    studies: tuple[JobStudy, ...]
    answer: SetupAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """One ink of the work on one unit in one pass."""

    pass_number: int
    unit: Unit
    ink: str


def set_job(
    reference: str, work: WorkAsked, asked: JobAsked, *, records: Path | None = None, told: Told | None = None
) -> Set:
    """Set a job on the press meant by ``reference``. Refuses with every problem; nothing is recorded.

    :class:`Refusal` too where a print does not settle: there is then nothing to set by.
    """
    press = find_press(reference).press
    problems = tuple(_problems(asked))
    if problems:
        raise Refusal(problems)
    works = _Works(press, work)
    order = tuple(_order(press, asked, works))
    studies, answers = [], []
    for printed in order:
        on = works.on(printed.unit)
        plate = next(each for each in on.plates if each.ink == printed.ink)
        study, ordered = _studied(press, asked, printed, work=on, plate=plate, records=records, told=told)
        studies.append(study)
        answers.append(unit_told(study, ordered))
    first = works.on(order[0].unit)
    answer = SetupAnswer(
        press=press.id,
        invented=press.invented,
        title=asked.title or work.title,
        stock=asked.stock,
        run=asked.run,
        sheet_length_mm=first.sheet.length_mm,
        sheet_width_mm=first.sheet.width_mm,
        before=asked.before.value,
        passes=order[-1].pass_number,
        work=tuple(told_work(first)),
        notices=first.notices,
        units=tuple(answers),
        limits=tuple(LimitAnswer(slug=each.slug, what=each.what, so=each.so) for each in limits_of("ink")),
    )
    return Set(press=press, works=tuple(works.on(each.unit) for each in order), studies=tuple(studies), answer=answer)


class _Works:
    """The work as it lies on each unit: read once for all units that are alike."""

    def __init__(self, press: Press, asked: WorkAsked) -> None:
        self._press, self._asked = press, asked
        self._read: dict[object, Work] = {}

    def on(self, unit: Unit) -> Work:
        fountain, plate = unit.fountain, unit.cylinders.plate
        assert fountain is not None
        faces = tuple((roller.id, roller.face_mm) for roller in unit.rollers)
        alike = (fountain.zone_widths_mm, fountain.first_zone_mm, plate.circumference_mm, plate.gap_mm, faces)
        if alike not in self._read:
            self._read[alike] = read_work(self._asked, self._press, unit)
        return self._read[alike]


def _problems(asked: JobAsked) -> Iterator[Problem]:
    """What cannot be asked, whatever the press and the work."""
    if asked.aim_um is not None and asked.density is not None:
        yield Problem("setup-two-aims")
    if asked.density is not None and asked.constants is None:
        yield Problem("setup-density-without-constants", {"density": asked.density})
    numbers = {
        "aim": (asked.aim_um, 0.05, 20.0, "µm"),
        "density": (asked.density, 0.05, 4.0, "D"),
        "run": (asked.run, 1, 10_000_000, ""),
        "tau": (asked.tau, 0.1, 1.0, ""),
        "tolerance": (asked.tolerance, 0.005, 1.0, ""),
        "least-fill": (asked.least_fill_kg, 0.0, 500.0, "kg"),
        "left-over": (asked.left_over_kg, 0.0, 500.0, "kg"),
    }
    if asked.constants is not None:
        numbers["saturation"] = (asked.constants[0], 0.1, 5.0, "D")
        numbers["rate"] = (asked.constants[1], 0.01, 20.0, "m²/g")
    for name, (value, low, high, unit) in numbers.items():
        if value is not None and not low <= value <= high:
            values = {"option": f"--{name}", "value": value, "low": low, "high": high, "unit": f" {unit}".rstrip()}
            yield Problem("setup-number-out-of-range", values)


# Which ink where ------------------------------------------------------------------------------------------------------


def _order(press: Press, asked: JobAsked, works: _Works) -> Iterator[Printed]:
    """Every ink, pass by pass, in the order of the units; refused where units and inks do not pair."""
    units = units_asked(press, asked.unit)
    known = works.on(units[0]).inks
    passes = asked.passes or tuple(_in_turn(known, units))
    listed = {"known": ", ".join(known)}
    problems, printed = [], list[Printed]()
    for number, inks_on in enumerate(passes, start=1):
        for id, ink in inks_on:
            if ink not in known:
                problems.append(Problem("setup-ink-not-in-work", {"ink": ink, **listed}))
                continue
            try:
                printed.append(Printed(pass_number=number, unit=units_asked(press, id)[0], ink=ink))
            except Refusal as refusal:
                problems += refusal.problems
    missing = [ink for ink in known if ink not in {ink for inks_on in passes for _, ink in inks_on}]
    if missing:
        problems.append(Problem("setup-ink-left-out", {"inks": ", ".join(missing)}))
    if problems:
        raise Refusal(problems)
    place = {unit.id: number for number, unit in enumerate(press.units)}
    yield from sorted(printed, key=lambda each: (each.pass_number, place[each.unit.id]))


def _in_turn(inks_of: Sequence[str], units: Sequence[Unit]) -> Iterator[tuple[tuple[str, str], ...]]:
    """The inks in the order of the work over the units."""
    waiting = iter(inks_of)
    while inks_on := tuple(islice(waiting, len(units))):
        yield tuple((unit.id, ink) for unit, ink in zip(units, inks_on, strict=False))


# One ink on one unit --------------------------------------------------------------------------------------------------


def _studied(  # noqa: PLR0913  (all but three are named)
    press: Press,
    asked: JobAsked,
    printed: Printed,
    *,
    work: Work,
    plate: InkPlate,
    records: Path | None,
    told: Told | None,
) -> tuple[JobStudy, Ordered]:
    ink, assumed = _ink(printed.ink)
    film = FilmQuestion(
        coverage=plate.coverage,
        coverage_edges_mm=plate.edges_mm,
        sheet_mm=(work.sheet.length_mm, work.sheet.width_mm),
        transfer=FixedShare(tau=asked.tau),
        density_g_per_cm3=ink.density_g_per_cm3,
    )
    unit = printed.unit
    question = JobQuestion(
        film=film,
        aim=_aim(asked, ink),
        run=asked.run,
        before=Before.CHARGED if asked.after else asked.before,
        earlier=earlier_of(asked.after, press=press, unit=unit, records=records) if asked.after else None,
        tolerance=asked.tolerance,
        limits=asked.limits,
        sweep_reading=asked.sweep,
    )
    (setting,) = settings_of(press, (unit,), film)
    try:
        study = job_study(setting, question, told=None if told is None else lambda stage: told(unit.id, stage))
    except NotSettledError as error:
        raise Refusal(error.solution.problem) from error
    ordered = Ordered(
        pass_number=printed.pass_number,
        ink=printed.ink,
        coverage=plate.zones,
        water=water_of(press, unit, paper=asked.stock, records=records).told,
        least_fill_kg=asked.least_fill_kg,
        left_over_kg=asked.left_over_kg,
        notes=tuple(_notes(asked, assumed)),
    )
    return study, ordered


def _aim(asked: JobAsked, ink: Ink) -> Aim:
    if asked.constants is None:
        return FilmAim(film_um=asked.aim_um or AIM_UM)
    curve = curve_per_um(DensityCurve(*asked.constants), density_g_per_cm3=ink.density_g_per_cm3)
    if asked.density is None:
        film_um = asked.aim_um or AIM_UM
        return SolidAim(density=density_of(film_um, curve), curve=curve)
    return SolidAim(density=asked.density, curve=curve)


def _ink(name: str) -> tuple[Ink, bool]:
    """The library's ink of that name; the default one, and that it was assumed, where it has none."""
    known = {each.slug: each for each in inks()}
    word = name.strip().lower().replace(" ", "-")
    for slug in (word, f"process-{word}"):
        if slug in known:
            return known[slug], False
    return known[DEFAULT_INK], True


def _notes(asked: JobAsked, ink_assumed: bool) -> Iterator[Problem]:
    """What was assumed because nobody told."""
    if ink_assumed:
        ink = next(each for each in inks() if each.slug == DEFAULT_INK)
        values = {"ink": ink.slug, "density": ink.density_g_per_cm3, "source": ink.source}
        yield Problem("film-assumed-ink", values)
    if asked.aim_um is None and asked.density is None:
        yield Problem("setup-assumed-aim", {"aim_um": AIM_UM})
    if asked.constants is None:
        yield Problem("setup-no-constants")
    if asked.before is Before.CLEAN and not asked.after:
        yield Problem("setup-assumed-clean")
