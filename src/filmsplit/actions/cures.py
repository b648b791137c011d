"""What can be done about the ghosts of a job that was foreseen, and what cannot, each with its reason."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.actions.setup import Set
from filmsplit.messages import Problem, Refusal, label
from filmsplit.studies.cure_list import Allowed, Listing
from filmsplit.studies.cure_pairs import with_pairs
from filmsplit.studies.cures import Cure, CureKind, Cures, Refused, Trial, Tried, ranked
from filmsplit.studies.film_answer import told
from filmsplit.studies.film_setting import FilmSetting

SHEETS = 1000
"""The ink of a bar is told for so many sheets."""
HELPS = 0.02
"""A gain below this is none: a trial is known to about as much of the ghost (of 2 % of the film)."""
Telling = Callable[[str], None]
"""Told in words what is done now."""
BY_PLACE = (CureKind.SIDE_BAR, CureKind.TIMING)
"""Told in words of their own for each place or way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CureTold:
    """One cure, tried in the engine."""

    number: int = told("from the best, from 1")
    kind: str = told("turned, quarter, shifted, bar, side_bar, form_off, stroke, timing, passes, press, both")
    words: str = told("what to do")
    strongest: float = told("strongest ghost that is left on an even area, seen or not; film difference, no sign")
    gain: float = told("part of the strongest ghost that is gone; below 0 where it is stronger")
    low: float | None = told(
        "lowest gain at what is unsure about splitting and cells; null where only the middle was tried"
    )
    high: float | None = told("highest gain at what is unsure about splitting and cells")
    ink_g: float = told("ink it costs", "g per 1000 sheets")


@dataclass(frozen=True, slots=True, kw_only=True)
class CureRefused:
    """What cannot be done with this job on this press."""

    kind: str = told("as of a cure that was tried")
    words: str = told("what it would be, and why it is not done")


@dataclass(frozen=True, slots=True, kw_only=True)
class CuresTold:
    """Everything that was tried against the strongest ghost of a job."""

    before: float = told("strongest ghost of the job as it is, seen or not")
    cures: tuple[CureTold, ...] = told("what was tried, the one that leaves least first")
    refused: tuple[CureRefused, ...] = told("what cannot be done")
    unsettled: int = told("cures whose print did not settle; they are not judged")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CuresFound:
    """The answer, and the settings it was read from."""

    answer: CuresTold
    found: Cures
    trial: Trial

    @property
    def best(self) -> Tried | None:
        """The one that leaves least, where it helps at all."""
        first = next(iter(self.found.tried), None)
        return first if first is not None and first.gain >= HELPS else None


def cures_of(job: Set, allowed: Allowed, *, telling: Telling | None = None) -> CuresFound:
    """Try every cure this job allows. :class:`Refusal` where the job itself does not settle as it is tried."""

    def tell(slug: str, **numbers: int) -> None:
        if telling is not None:
            telling(label(f"foresee_stage.{slug}", **numbers))

    settings = tuple(_as_set(job, place) for place in range(len(job.studies)))
    trial = Trial(film_um=_film_um(job))
    worst = max(range(len(settings)), key=lambda place: trial.strongest_of(settings[place]) or 0.0)
    listing = Listing(press=job.press, job=settings, worst=worst, allowed=allowed)
    cures, refused = listing.all()
    try:
        found = ranked(
            settings, cures, trial=trial, refused=refused, told=lambda done, all: tell("cures", done=done, all=all)
        )
    except ValueError as error:
        unit = job.answer.units[worst]
        raise Refusal(Problem("foresee-not-settled", {"unit": unit.unit, "ink": unit.ink})) from error
    found = with_pairs(found, listing, trial=trial, told=lambda done: tell("pairs", done=done))
    return CuresFound(answer=_told(found, job), found=found, trial=trial)


def _as_set(job: Set, place: int) -> FilmSetting:
    """The setting of one ink with the sweep that was found."""
    study = job.studies[place]
    return replace(study.setting, sweep_mm=study.settings.plan.sweep_mm or study.setting.sweep_mm)


def _film_um(job: Set) -> float:
    """The mean film of the open keys over all inks."""
    films = np.concatenate([study.settings.set_films_um for study in job.studies])
    return float(films[films > 0].mean())


def _told(found: Cures, job: Set) -> CuresTold:
    unit = job.answer.units[0]
    per_mm2 = unit.aim_um * 1e-3 * job.studies[0].setting.density_g_per_cm3 * 1e-3 * SHEETS
    return CuresTold(
        before=found.before,
        cures=tuple(_cure(each, number, per_mm2=per_mm2) for number, each in enumerate(found.tried, start=1)),
        refused=tuple(CureRefused(kind=each.kind.value, words=refused_words(each)) for each in found.refused),
        unsettled=len(found.not_settled),
    )


def _cure(tried: Tried, number: int, *, per_mm2: float) -> CureTold:
    low, high = tried.band or (None, None)
    return CureTold(
        number=number,
        kind=tried.cure.kind.value,
        words=cure_words(tried.cure),
        strongest=tried.strongest,
        gain=tried.gain,
        low=low,
        high=high,
        ink_g=tried.cure.ink_mm2 * per_mm2,
    )


def cure_words(cure: Cure) -> str:
    """What to do, in the trade's words."""
    if cure.kind is CureKind.BOTH:
        return label("cure.both", first=cure_words(cure.parts[0]), second=cure_words(cure.parts[1]))
    if cure.kind is CureKind.SHIFTED:
        side = label("cure.gear" if cure.amount > 0 else "cure.operator")
        return label("cure.shifted", amount=f"{abs(cure.amount):g}", side=side)
    word = f"{cure.kind.value}_{cure.what}" if cure.kind in BY_PLACE else cure.kind.value
    return label(f"cure.{word}", amount=f"{cure.amount:g}", what=cure.what)


def refused_words(refused: Refused) -> str:
    """What it would be, and why it is not done."""
    what = label(f"cure_kind.{refused.kind.value}", what=refused.what).strip()
    return label("cure.refused", what=what, reason=label(f"cure_reason.{refused.reason}"))
