"""A job on the bench: settings that are moved to see what the sheet does, and the train arranged as they ask."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import reduce

import numpy as np

from filmsplit.ink.density import DensityCurve
from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.press.plate_order import form_rollers
from filmsplit.press.roller import Roller
from filmsplit.press.words import MotionKind
from filmsplit.setup.key_scale import KeyScale
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.learned import Learned
from filmsplit.setup.limits import KeyLimits
from filmsplit.setup.readings import openings_of
from filmsplit.setup.sweep_range import SweepRange, sweep_range
from filmsplit.simulation.network import LoopRole, Network
from filmsplit.studies.cures import image_of, with_image
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.job_question import DENSITY_TOLERANCE, FILM_TOLERANCE
from filmsplit.studies.job_study import JobStudy
from filmsplit.studies.sheet_image import Frame

LONGEST_STROKE = 2.0
"""Strokes are tried up to this many times the one of the press file (invented: the press says what can be set)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """What makes another train of it. ``stroke_mm`` is the longest oscillator's, the others move in proportion;
    ``None`` leaves them as they are. ``off`` are form rollers thrown off, ``turned`` the work half round."""

    stroke_mm: float | None = None
    off: frozenset[str] = frozenset()
    turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """Where everything stands: keys and sweep as this press reads them (``sweep``: ``None`` without one)."""

    keys: tuple[float, ...]
    sweep: float | None
    arrangement: Arrangement = field(default_factory=Arrangement)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LiveJob:
    """One ink of a job as it was set, ready to be moved. ``frame`` is the box round the image of all its inks.

    ``highest`` and ``lowest`` bound the readings of the keys; ``planned`` is where they were set.
    """

    setting: FilmSetting
    frame: Frame | None
    planned: Moved
    planned_sweep_mm: float | None
    sweeps: SweepRange | None
    scale: KeyScale
    learned: Learned | None
    limits: KeyLimits
    aim_um: float
    aim_density: float | None
    curve: DensityCurve | None
    tolerance: float

    @property
    def lowest(self) -> float:
        """Reading at which a key of the press file is shut, or the lowest that was learned."""
        assert self.setting.unit.fountain is not None
        return min(self.setting.unit.fountain.keys.lowest, *self.scale.zeros)

    @property
    def forms(self) -> tuple[str, ...]:
        """Ids of the form rollers that bring ink, as the plate meets them."""
        ink = {loop.id for loop in self.setting.network.loops if loop.role is LoopRole.ROLLER}
        return tuple(form.id for form in form_rollers(self.setting.unit) if form.id in ink)

    @property
    def oscillators(self) -> tuple[Roller, ...]:
        """Rollers that move sideways."""
        return tuple(
            each
            for each in self.setting.unit.rollers
            if each.motion.kind is MotionKind.OSCILLATES and each.motion.stroke_mm > 0
        )

    @property
    def stroke_mm(self) -> float | None:
        """The longest stroke as the press file has it; ``None`` where nothing oscillates."""
        return max((each.motion.stroke_mm for each in self.oscillators), default=None)

    @property
    def longest_stroke_mm(self) -> float:
        """The longest that is tried."""
        return LONGEST_STROKE * (self.stroke_mm or 0.0)

    def sweep_mm(self, moved: Moved) -> float | None:
        """The sweep in mm of fountain roller surface."""
        return None if moved.sweep is None or self.sweeps is None else moved.sweep * self.sweeps.mm_per_division

    def films_um(self, moved: Moved) -> Array:
        """Film on the fountain roller in each zone, with what was learned of the keys at that sweep."""
        scale = self.scale if self.learned is None else self.learned.scale_at(self.sweep_mm(moved))
        openings = openings_of(np.array(moved.keys), scale)
        return np.asarray(films_per_opening(scale.full_um, coupling=self.limits.coupling) @ openings)

    def arranged(self, arrangement: Arrangement) -> FilmSetting:
        """The job's setting with another stroke, form rollers off, the work turned."""
        made = self.setting
        if arrangement.turned and self.frame is not None:
            made = with_image(made, image_of(made).turned(self.frame))
        if arrangement.off:
            made = replace(made, question=replace(made.question, thrown_off=arrangement.off))
        if arrangement.stroke_mm is not None and self.stroke_mm:
            network = stroked(made.network, arrangement.stroke_mm / self.stroke_mm)
            made = replace(made, network=network)
        return made

    def problems(self, moved: Moved) -> Iterator[Problem]:
        """What cannot be set so."""
        yield from self._keys(moved.keys)
        sweep = self.setting.unit.fountain.sweep if self.setting.unit.fountain is not None else None
        if moved.sweep is not None and self.sweeps is not None and sweep is not None:
            yield from _within("live-sweep-beyond", moved.sweep, least=min(self.sweeps.readings), most=sweep.highest)
        asked = moved.arrangement
        if asked.stroke_mm is not None:
            yield from _within("live-stroke-beyond", asked.stroke_mm, least=0.0, most=self.longest_stroke_mm)
        for id in sorted(asked.off - set(self.forms)):
            yield Problem("live-form-unknown", {"asked": id[:40], "known": ", ".join(self.forms)})
        if set(self.forms) <= asked.off:
            yield Problem("live-no-form-left", {"known": ", ".join(self.forms)})

    def _keys(self, keys: Sequence[float]) -> Iterator[Problem]:
        if len(keys) != len(self.planned.keys):
            yield Problem("live-keys-miscounted", {"given": len(keys), "zones": len(self.planned.keys)})
            return
        for key in keys:
            if not self.lowest <= key <= self.scale.highest:
                yield from _within("live-key-beyond", key, least=self.lowest, most=self.scale.highest)
                return


def _within(slug: str, value: float, *, least: float, most: float) -> Iterator[Problem]:
    if not least <= value <= most:  # also what is not a number
        yield Problem(slug, {"value": value, "least": least, "most": most})


def stroked(network: Network, part: float) -> Network:
    """The network with every stroke ``part`` times as long; its cycles stay as they are."""
    loops = (
        loop if loop.swing is None else replace(loop, swing=replace(loop.swing, stroke_mm=part * loop.swing.stroke_mm))
        for loop in network.loops
    )
    return replace(network, loops=tuple(loops))


def live_job(study: JobStudy, *, job: Sequence[JobStudy]) -> LiveJob:
    """One ink of a job that was set; ``job`` are the studies of all its inks."""
    settings, question, fountain = study.settings, study.question, study.setting.unit.fountain
    assert fountain is not None
    swept = settings.sweep_reading is not None
    return LiveJob(
        setting=study.setting,
        frame=_frame(job),
        planned=Moved(keys=tuple(each.reading for each in settings.readings), sweep=settings.sweep_reading),
        planned_sweep_mm=settings.plan.sweep_mm,
        sweeps=sweep_range(fountain.sweep, unit=study.setting.unit.id) if swept else None,
        scale=settings.scale,
        learned=question.learned,
        limits=settings.limits,
        aim_um=settings.aim_um,
        aim_density=getattr(question.aim, "density", None) if question.curve is not None else None,
        curve=question.curve,
        tolerance=_tolerance(study),
    )


def _tolerance(study: JobStudy) -> float:
    """How far a good sheet may be off: a density with constants, else a part of the film."""
    if study.question.tolerance is not None:
        return study.question.tolerance
    return FILM_TOLERANCE if study.question.curve is None else DENSITY_TOLERANCE


def _frame(job: Sequence[JobStudy]) -> Frame | None:
    """The box round all inks; ``None`` where nothing is printed at all."""
    frames = [image_of(each.setting).frame for each in job if each.setting.coverage.any()]
    return reduce(Frame.around, frames) if frames else None
