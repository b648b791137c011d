"""The sheet foreseen before the plate is made: ghosts, fall-off and starved solids of a job at its settings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from filmsplit.actions.cures import CuresFound, CuresTold, Telling, cures_of
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.setup import Set, Told, set_job
from filmsplit.actions.work import WorkAsked
from filmsplit.artwork import WorkStyle
from filmsplit.ink.colour import tint_difference
from filmsplit.ink.density import DensityCurve, solid_density, tint_density
from filmsplit.ink.splitting import Array
from filmsplit.library.colour_change import colour_change_figures
from filmsplit.library.inks import Ink, ink_named
from filmsplit.messages import Problem, Refusal, label
from filmsplit.setup.keys import Reason
from filmsplit.simulation.period import with_common_period
from filmsplit.studies.cure_list import Allowed
from filmsplit.studies.even_areas import EvenArea
from filmsplit.studies.film_answer import told
from filmsplit.studies.ghosts import VISIBLE, Box, Cause, Ghost, GhostMap, ghost_map
from filmsplit.studies.job_study import JobStudy
from filmsplit.studies.print_course import PrintCourse, print_course

KIND = "foreseen 1"
"""What the answer calls itself as JSON."""
STARVED = 0.9
"""A solid that carries less than this part of the film aimed at is starved (invented: no published bound was found)."""
SOLID = 0.95
MOST_SHOWN = 12
"""Ghosts on a page or a picture; the rest are in the answer."""
LEAST_VISIBLE, MOST_VISIBLE = 0.001, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class GhostTold:
    """One ghost on the sheet."""

    number: int = told("from the strongest, from 1")
    at: Box = told("where it is seen")
    strength: float = told("film over what it should be, less 1, at its strongest 2 mm")
    dark: bool = told("whether it is darker than its surroundings")
    coverage: float = told("image share of the area it is seen in", "0..1")
    density: float | None = told("difference in density, no dot gain; null without the ink's constants", "D")
    delta_e_00: float | None = told("colour difference CIEDE2000, no dot gain; null for inks whose colour is not known")
    cause: Cause | None = told("what made it; null where nothing fits")


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaTold:
    """One area meant to be even."""

    at: Box = told("the area")
    coverage: float = told("its image share", "0..1")
    strongest: float = told("strength of its strongest ghost, seen or not")
    fall_off: float = told("trend of the film along the area: at the tail over that at the lead, less 1")
    film_over_aim: float = told("its mean film over the film aimed at")
    starved: bool = told("whether it is a solid with too little film")


@dataclass(frozen=True, slots=True, kw_only=True)
class InkForeseen:
    """One ink on one unit."""

    unit: str = told("id of the unit")
    ink: str = told("ink, as the work calls it")
    pass_number: int = told("pass through the press, from 1")
    aim_um: float = told("film aimed at on the image", "µm")
    settled: bool = told("whether the even print it is judged against settled; if not, nothing was judged")
    ghosts: tuple[GhostTold, ...] = told("ghosts that are seen, the strongest first")
    areas: tuple[AreaTold, ...] = told("areas meant to be even, the largest first")
    course: PrintCourse | None = told("ripple and the first sheets; null where nothing was judged")
    fighting: tuple[int, ...] = told(
        "zones kept from their aim by what neighbours bring or take through the oscillators"
    )
    notes: tuple[Problem, ...] = told("what could not be judged")


@dataclass(frozen=True, slots=True, kw_only=True)
class ForeseenAnswer:
    """A job foreseen."""

    press: str = told("id of the press")
    invented: bool = told("whether the press exists only on paper")
    title: str = told("title of the job")
    visible: float = told("part of the film from which a ghost counts as seen")
    visible_invented: bool = told("whether that is the invented default, not the shop's own")
    sheet_length_mm: float = told("sheet in the direction of travel", "mm")
    sheet_width_mm: float = told("sheet across", "mm")
    inks: tuple[InkForeseen, ...] = told("every ink, in the order in which it is printed")
    cures: CuresTold | None = told("what can be done about the strongest ghost; null where nobody asked")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Foreseen:
    """The answer, the job as set, and the map of each ink in the order of ``answer.inks``."""

    answer: ForeseenAnswer
    job: Set
    maps: tuple[GhostMap, ...]
    cures: CuresFound | None = None


def foresee(  # noqa: PLR0913  (all but three are named and have defaults)
    reference: str,
    work: WorkAsked,
    asked: JobAsked,
    *,
    visible: float | None = None,
    records: Path | None = None,
    telling: Told | None = None,
    allowed: Allowed | None = None,
) -> Foreseen:
    """Set the job, then look for ghosts, and with ``allowed`` try what can be done about them.

    :class:`Refusal` as :func:`set_job`, and for a visibility that cannot be.
    """
    _threshold(visible)
    found = foresee_job(set_job(reference, work, asked, records=records, told=telling), visible=visible)
    return found if allowed is None else with_cures(found, work, allowed)


def foresee_job(job: Set, *, visible: float | None = None, telling: Telling | None = None) -> Foreseen:
    """Look for ghosts in a job that was set. :class:`Refusal` for a visibility that cannot be."""
    threshold = _threshold(visible)
    maps, inks = list[GhostMap](), list[InkForeseen]()
    for number, study in enumerate(job.studies):
        if telling is not None:
            telling(label("foresee_stage.ghosts", unit=job.answer.units[number].unit))
        films_um = study.settings.set_films_um
        maps.append(ghost_map(study.zoned, films_um, solution=study.solution, visible=threshold))
        inks.append(_ink(job, number, maps[-1]))
    answer = ForeseenAnswer(
        press=job.answer.press,
        invented=job.answer.invented,
        title=job.answer.title,
        visible=threshold,
        visible_invented=visible is None,
        sheet_length_mm=job.answer.sheet_length_mm,
        sheet_width_mm=job.answer.sheet_width_mm,
        inks=tuple(inks),
        cures=None,
    )
    return Foreseen(answer=answer, job=job, maps=tuple(maps))


def with_cures(found: Foreseen, work: WorkAsked, allowed: Allowed, *, telling: Telling | None = None) -> Foreseen:
    """The same sheet, with what can be done about its ghosts tried. :class:`Refusal` as :func:`cures_of`."""
    cures = cures_of(found.job, _allowed(allowed, work), telling=telling)
    return replace(found, answer=replace(found.answer, cures=cures.answer), cures=cures)


def _threshold(visible: float | None) -> float:
    threshold = VISIBLE if visible is None else visible
    if not LEAST_VISIBLE <= threshold <= MOST_VISIBLE:
        values = {"given": 100 * threshold, "low": 100 * LEAST_VISIBLE, "high": 100 * MOST_VISIBLE}
        raise Refusal(Problem("foresee-visible-impossible", values))
    return threshold


def _allowed(allowed: Allowed, work: WorkAsked) -> Allowed:
    """With what the work itself says: its gripper margin, and whether its back is on the same plate."""
    return replace(allowed, gripper_mm=work.gripper_mm, backed=work.style is not WorkStyle.SHEETWISE)


def _ink(job: Set, number: int, found: GhostMap) -> InkForeseen:
    unit, study = job.answer.units[number], job.studies[number]
    first_mm, curve = study.setting.sheet.first_mm, study.question.curve
    return InkForeseen(
        unit=unit.unit,
        ink=unit.ink,
        pass_number=unit.pass_number,
        aim_um=unit.aim_um,
        settled=found.settled,
        ghosts=tuple(
            _ghost(each, place, first_mm=first_mm, aim_um=unit.aim_um, look=_Look(curve=curve, ink=ink_named(unit.ink)))
            for place, each in enumerate(found.ghosts, start=1)
        ),
        areas=tuple(_areas(study, found, aim_um=unit.aim_um)),
        course=_course(study) if found.settled else None,
        fighting=tuple(_fighting(study)),
        notes=() if found.settled else (Problem("foresee-not-settled", {"unit": unit.unit, "ink": unit.ink}),),
    )


def _course(study: JobStudy) -> PrintCourse:
    _, period = with_common_period(study.setting.network)
    films_um = study.settings.set_films_um
    return print_course(study.zoned, films_um, solution=study.solution, revolutions=period.revolutions)


def _fighting(study: JobStudy) -> Iterator[int]:
    """Zones, from 1, that neighbours' ink keeps from their aim."""
    for key in study.settings.plan.keys.zones:
        if key.reason is Reason.NEIGHBOURS:
            yield key.zone


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """What is known of how an ink looks."""

    curve: DensityCurve | None
    ink: Ink | None

    def delta_e(self, ghost: Ghost) -> float | None:
        """Of the tint with and without the ghost."""
        if self.ink is None or self.ink.solid is None:
            return None
        paper = colour_change_figures().paper
        share = min(ghost.coverage, 1.0)
        return tint_difference(self.ink.solid.lab, paper=paper, coverage=share, strength=ghost.strength)


def _ghost(ghost: Ghost, number: int, *, first_mm: float, aim_um: float, look: _Look) -> GhostTold:
    cause = ghost.cause
    if cause is not None and cause.element is not None:
        cause = Cause(
            element=_on_sheet(cause.element, first_mm),
            coverage=cause.coverage,
            forms=cause.forms,
            turns=cause.turns,
            explained=cause.explained,
        )
    return GhostTold(
        number=number,
        at=_on_sheet(ghost.at, first_mm),
        strength=ghost.strength,
        dark=ghost.dark,
        coverage=ghost.coverage,
        density=_density(ghost, aim_um=aim_um, curve=look.curve),
        delta_e_00=look.delta_e(ghost),
        cause=cause,
    )


def _density(ghost: Ghost, *, aim_um: float, curve: DensityCurve | None) -> float | None:
    return None if curve is None else density_difference(ghost.strength, ghost.coverage, aim_um=aim_um, curve=curve)


def density_difference(strength: float, coverage: float, *, aim_um: float, curve: DensityCurve) -> float:
    """What a film difference does to the density of a tint: Murray-Davies on the solid (Murray 1936), no dot gain."""

    films_um = np.array([aim_um * (1.0 + strength), aim_um])
    with_it, without = printed_density(films_um, np.full(2, coverage), curve=curve)
    return float(with_it - without)


def printed_density(film_um: Array, coverage: Array, *, curve: DensityCurve) -> Array:
    """Density of tints carrying a film, no dot gain; both fields of one shape."""
    solid = solid_density(film_um, saturation=curve.saturation, rate=curve.rate)
    return tint_density(np.minimum(coverage, 1.0), solid)


def _areas(study: JobStudy, found: GhostMap, *, aim_um: float) -> Iterator[AreaTold]:
    for seen, area in zip(found.areas, found.even, strict=True):
        over_aim = _film_of(found, area) / aim_um
        yield AreaTold(
            at=_on_sheet(seen.at, study.setting.sheet.first_mm),
            coverage=seen.coverage,
            strongest=seen.strongest,
            fall_off=seen.fall_off,
            film_over_aim=over_aim,
            starved=seen.coverage >= SOLID and over_aim < STARVED,
        )


def _film_of(found: GhostMap, area: EvenArea) -> float:
    return float(found.film_um[area.cells].mean())


def _on_sheet(box: Box, first_mm: float) -> Box:
    """Across from the operator's side of the sheet."""
    return Box(
        lead_mm=box.lead_mm,
        tail_mm=box.tail_mm,
        operator_mm=box.operator_mm - first_mm,
        gear_mm=box.gear_mm - first_mm,
    )
