"""Settings of a job: from the work and the press to keys, sweep, start, ink and water, ink by ink and pass by pass."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

from filmsplit.actions.earlier import Earlier, earlier_of, learned_keys, told_alike, water_of
from filmsplit.actions.find import find_press
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.last_time import last_time
from filmsplit.actions.setup_changes import InkRun, change_notes, order_notes
from filmsplit.actions.setup_notes import setup_notes
from filmsplit.actions.work import InkPlate, Work, WorkAsked, read_work, told_work
from filmsplit.artwork import Sheet
from filmsplit.ink.density import DensityCurve
from filmsplit.ink.transfer import FixedShare
from filmsplit.library.inks import DEFAULT_INK, Ink, ink_named, inks
from filmsplit.library.limits import limits_of
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.setup.aim import Aim, FilmAim, SolidAim, curve_per_um, density_of
from filmsplit.simulation.solution import NotSettledError
from filmsplit.studies.film_answer import LimitAnswer
from filmsplit.studies.film_question import AIM_UM, FilmQuestion
from filmsplit.studies.film_setting import settings_of
from filmsplit.studies.job_answer import SetUnit, SetupAnswer
from filmsplit.studies.job_question import Before, JobQuestion
from filmsplit.studies.job_start import left_by
from filmsplit.studies.job_study import JobStudy, Stage, job_study
from filmsplit.studies.job_told import Ordered, unit_told

KIND = "setup 1"
"""What the answer calls itself as JSON."""

Told = Callable[[str, Stage], None]
"""Told the unit and the stage as it begins."""


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
    setting = _Setting(press=press, asked=asked, records=records, told=told)
    answers = [setting.set(printed, works.on(printed.unit)) for printed in order]
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
        notices=tuple(notice for read in works.read for notice in read.notices),
        units=tuple(answers),
        limits=tuple(LimitAnswer(slug=each.slug, what=each.what, so=each.so) for each in limits_of("ink")),
    )
    studies = tuple(run.study for run in setting.runs)
    return Set(press=press, works=tuple(works.on(each.unit) for each in order), studies=studies, answer=answer)


class _Works:
    """The work as it lies on each unit: read once for all units that are alike."""

    def __init__(self, press: Press, asked: WorkAsked) -> None:
        self._press, self._asked = press, asked
        self._read: dict[object, Work] = {}

    @property
    def read(self) -> tuple[Work, ...]:
        """Each way in which the work lies on a unit, once."""
        return tuple(self._read.values())

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
    if asked.sweep == 0:
        yield Problem("setup-no-sweep")
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


@dataclass(slots=True)
class _Setting:
    """A job while it is set: ``runs`` are the inks so far, in the order in which they are printed."""

    press: Press
    asked: JobAsked
    records: Path | None
    told: Told | None
    runs: list[InkRun] = field(default_factory=list)
    units: list[str] = field(default_factory=list)

    def set(self, printed: Printed, work: Work) -> SetUnit:
        """Set one ink on one unit. :class:`Refusal` where a print does not settle."""
        unit, asked = printed.unit, self.asked
        plate = next(each for each in work.plates if each.ink == printed.ink)
        ink = ink_named(printed.ink)
        earlier = self._earlier(unit)
        charged = earlier is not None and _same(earlier.ink, printed.ink)
        question = JobQuestion(
            film=_film(asked, plate, ink=ink or _assumed_ink(), sheet=work.sheet),
            aim=_aim(asked, ink or _assumed_ink()),
            run=asked.run,
            before=Before.CHARGED if charged else asked.before,
            earlier=earlier.job if earlier is not None and charged else None,
            tolerance=asked.tolerance,
            learned=learned_keys(self.press, unit, self.records) if asked.use_learned else None,
            limits=asked.limits,
            sweep_reading=asked.sweep,
        )
        study = self._studied(unit, question)
        run = InkRun(name=printed.ink, ink=ink, study=study)
        ordered = Ordered(
            pass_number=printed.pass_number,
            ink=printed.ink,
            coverage=plate.zones,
            water=water_of(self.press, unit, paper=asked.stock, records=self.records).told,
            washes=tuple(self._washes(unit, run, earlier=earlier)),
            last_time=self._last_time(unit, plate, ink=printed.ink),
            least_fill_kg=asked.least_fill_kg,
            left_over_kg=asked.left_over_kg,
            notes=tuple(setup_notes(asked, run, unit=unit)),
        )
        self.runs.append(run)
        self.units.append(unit.id)
        return unit_told(study, ordered)

    def _last_time(self, unit: Unit, plate: InkPlate, *, ink: str) -> tuple[str, ...]:
        """The job on record most like this one."""
        if self.records is None:
            return ()
        shares, stock = tuple(map(float, plate.zones)), self.asked.stock
        found = last_time(
            self.records, press=self.press.id, unit=unit.id, coverage=shares, ink=ink, stock=stock, most=1
        )
        return tuple(told_alike(found))

    def _earlier(self, unit: Unit) -> Earlier | None:
        """The job before, where one is named and no ink of this job was on the unit since."""
        if not self.asked.after or unit.id in self.units:
            return None
        return earlier_of(self.asked.after, press=self.press, unit=unit, records=self.records)

    def _studied(self, unit: Unit, question: JobQuestion) -> JobStudy:
        (setting,) = settings_of(self.press, (unit,), question.film)
        tell = self.told
        try:
            return job_study(setting, question, told=None if tell is None else lambda stage: tell(unit.id, stage))
        except NotSettledError as error:
            raise Refusal(error.solution.problem) from error

    def _washes(self, unit: Unit, run: InkRun, *, earlier: Earlier | None) -> Iterator[Problem]:
        """What to do about the ink that was on the unit before."""
        before = [each for each, id in zip(self.runs, self.units, strict=True) if id == unit.id]
        yield from order_notes([*before, run])
        if before:
            old = before[-1]
            yield from change_notes((old.name, old.ink), run, left=old.study.solution.state)
        elif earlier is not None and not _same(earlier.ink, run.name):
            left = left_by(run.study.zoned, earlier.job)
            yield from change_notes((earlier.ink, ink_named(earlier.ink)), run, left=left)


def _same(one: str, other: str) -> bool:
    """Whether two names are of one ink; where nobody named the old one it is taken to be."""
    return not one or one.strip().lower() == other.strip().lower()


def _film(asked: JobAsked, plate: InkPlate, *, ink: Ink, sheet: Sheet) -> FilmQuestion:
    return FilmQuestion(
        coverage=plate.coverage,
        coverage_edges_mm=plate.edges_mm,
        sheet_mm=(sheet.length_mm, sheet.width_mm),
        transfer=FixedShare(tau=asked.tau),
        density_g_per_cm3=ink.density_g_per_cm3,
    )


def _aim(asked: JobAsked, ink: Ink) -> Aim:
    if asked.constants is None:
        return FilmAim(film_um=asked.aim_um or AIM_UM)
    curve = curve_per_um(DensityCurve(*asked.constants), density_g_per_cm3=ink.density_g_per_cm3)
    if asked.density is None:
        return SolidAim(density=density_of(asked.aim_um or AIM_UM, curve), curve=curve)
    return SolidAim(density=asked.density, curve=curve)


def _assumed_ink() -> Ink:
    """The ink whose weight is taken where nobody named one."""
    return next(each for each in inks() if each.slug == DEFAULT_INK)
