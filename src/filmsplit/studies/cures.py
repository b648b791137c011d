"""What can be done about a ghost before the plate is made, ranked by trial in the engine.

Every cure is a changed setting that is settled and looked at as the job itself was: by its strongest ghost on an area
meant to be even, seen or not. Nothing is ranked by rule of thumb.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.press import Press
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.settle import settle
from filmsplit.studies.film_setting import FilmSetting, SheetPlace
from filmsplit.studies.ghosts import even_print, strongest_difference
from filmsplit.studies.sheet_image import SheetImage
from filmsplit.studies.zoned import zoned_train

ACCURACY = 2e-4
"""Of the film: a hundredth of a ghost of 2 %, so that gains are known to about as much."""
SPLIT_OFF = 0.05
"""How far the share of a nip may be off either way: the band of a gain is what it is at both ends (decision 53)."""
COARSER = 1.5
"""Cells so many times as long: what the gain changes by is the part of its band that comes of the cells."""
MOST_BANDS = 3
"""The band is found for so many of the best."""


class CureKind(Enum):
    """What is done."""

    TURNED = "turned"
    QUARTER = "quarter"
    SHIFTED = "shifted"
    BAR = "bar"
    FORM_OFF = "form_off"
    SIDE_BAR = "side_bar"
    STROKE = "stroke"
    TIMING = "timing"
    PRESS = "press"
    PASSES = "passes"
    BOTH = "both"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cure:
    """One thing to do, as the settings it leads to: one for each ink of the job, more where one is printed twice.

    ``amount`` is how much of it, in its own unit (mm, degrees); ``what`` names the roller or the place; ``ink_mm2``
    the solid that is printed besides the job; ``press`` another press than the job's.
    """

    kind: CureKind
    settings: tuple[FilmSetting, ...]
    amount: float = 0.0
    what: str = ""
    ink_mm2: float = 0.0
    press: Press | None = None
    parts: tuple[Cure, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """What cannot be done here: ``reason`` is a word of its label."""

    kind: CureKind
    reason: str
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """A cure as it turned out: the strongest ghost with it, and how much weaker that is than without it, each at both
    ends of what is unsure (``None`` where only the middle was tried)."""

    cure: Cure
    strongest: float
    gain: float
    band: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cures:
    """The strongest ghost of the job as it is, every cure that settled, the best first, and those that cannot be."""

    before: float
    tried: tuple[Tried, ...]
    refused: tuple[Refused, ...]
    not_settled: tuple[Cure, ...]


Told = Callable[[int, int], None]
"""Told how many of all looks are over: every cure, then the bands of the best."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """Looks at settings as the job was looked at: the same sweep, keys that feed the same film wherever there is image.

    A ghost hardly depends on the keys: a column takes and gives in proportion. ``round_mm`` are the cells of the trial,
    those of the job unless told. A print is tried once, however many cures come to it.
    """

    film_um: float
    round_mm: float | None = None
    split_off: float = 0.0
    _known: dict[Hashable, float | None] = field(default_factory=dict, repr=False, compare=False)

    def strongest(self, settings: Sequence[FilmSetting]) -> float | None:
        """The strongest ghost, seen or not, without its sign; ``None`` where a print does not settle."""
        found = [self.strongest_of(setting) for setting in settings]
        known = [each for each in found if each is not None]
        return max(known, default=0.0) if len(known) == len(found) else None

    def strongest_of(self, setting: FilmSetting) -> float | None:
        """That of one ink."""
        print_of = _print_of(setting)
        if print_of not in self._known:
            self._known[print_of] = self._looked_at(setting)
        return self._known[print_of]

    def _looked_at(self, setting: FilmSetting) -> float | None:
        zoned = self.zoned(setting)
        films_um = self.films_um(zoned)
        solution = settle(zoned.train, zoned.keyed(films_um), accuracy=ACCURACY)
        film = solution.sheet_um
        even = even_print(zoned, films_um, start=solution, accuracy=ACCURACY) if solution.ok else None
        if film is None or even is None:
            return None
        return strongest_difference(film, even, coverage=zoned.demand.coverage, grid=zoned.train.grid)

    def zoned(self, setting: FilmSetting) -> ZonedTrain:
        """The train of a setting as it is tried."""
        if self.round_mm is not None:
            setting = replace(setting, question=replace(setting.question, round_mm=self.round_mm))
        zoned = zoned_train(setting)
        return zoned.with_split(self.split_off) if self.split_off else zoned

    def films_um(self, zoned: ZonedTrain) -> Array:
        """One film for every key with image before it, the others shut."""
        return np.where(zoned.image_cells > 0, self.film_um, 0.0)

    def off(self, side: float) -> Trial:
        """The same with another share at every nip."""
        return Trial(film_um=self.film_um, round_mm=self.round_mm, split_off=side)

    def coarser(self, setting: FilmSetting) -> Trial:
        """The same on longer cells."""
        return Trial(film_um=self.film_um, round_mm=COARSER * self.zoned(setting).train.grid.round_mm)


def ranked(
    job: Sequence[FilmSetting],
    cures: Sequence[Cure],
    *,
    trial: Trial,
    refused: Sequence[Refused] = (),
    told: Told | None = None,
) -> Cures:
    """Every cure of a job tried (``job``: one setting an ink), the one that leaves least first; bands of the best.

    ``ValueError`` where the job itself does not settle: there is then nothing to compare with.
    """
    before = trial.strongest(job)
    if before is None:
        raise ValueError("the job itself does not settle")
    tried, failed = [], []
    tell, looks = told or _silent, len(cures) + min(MOST_BANDS, len(cures))
    for number, cure in enumerate(cures):
        left = trial.strongest(cure.settings)
        tell(number + 1, looks)
        if left is None:
            failed.append(cure)
        else:
            tried.append(Tried(cure=cure, strongest=left, gain=gained(before, left)))
    order = sorted_by_rest(tried)
    sides = [*(trial.off(side) for side in (-SPLIT_OFF, SPLIT_OFF)), trial.coarser(job[0])]
    best = []
    for number, each in enumerate(order[:MOST_BANDS], start=len(cures) + 1):
        best.append(replace(each, band=_band(job, each, sides=sides)))
        tell(number, looks)
    return Cures(before=before, tried=(*best, *order[MOST_BANDS:]), refused=tuple(refused), not_settled=tuple(failed))


def _silent(_done: int, _all: int) -> None:
    """Nobody wants to be told."""


def sorted_by_rest(tried: Sequence[Tried]) -> tuple[Tried, ...]:
    """The one that leaves least first; of two alike the one that costs less ink."""
    return tuple(sorted(tried, key=lambda each: (each.strongest, each.cure.ink_mm2)))


def gained(before: float, after: float) -> float:
    """The part of a ghost that is gone; below 0 where it is stronger."""
    return 1.0 - after / before if before > 0 else 0.0


def _band(job: Sequence[FilmSetting], tried: Tried, *, sides: Sequence[Trial]) -> tuple[float, float] | None:
    """From least to most gain at both ends of what is unsure about splitting and on longer cells; ``None`` where one
    does not settle."""
    gains = [tried.gain]
    for side in sides:
        before, after = side.strongest(job), side.strongest(tried.cure.settings)
        if before is None or after is None:
            return None
        gains.append(gained(before, after))
    return min(gains), max(gains)


def _print_of(setting: FilmSetting) -> Hashable:
    """Everything that a trial depends on and a cure can change."""
    arrays = (setting.coverage, *setting.coverage_edges_mm)
    return setting.unit, setting.question.thrown_off, setting.sweep_mm, tuple(each.tobytes() for each in arrays)


def image_of(setting: FilmSetting) -> SheetImage:
    """The image of a setting on its sheet."""
    down, across = setting.coverage_edges_mm
    return SheetImage(coverage=setting.coverage, down_mm=down, across_mm=across)


def with_image(setting: FilmSetting, image: SheetImage) -> FilmSetting:
    """The setting with another image, its sheet in the middle of the press as before."""
    length, width = image.size_mm
    first = setting.sheet.first_mm + (setting.sheet.width_mm - width) / 2
    return replace(
        setting,
        coverage=image.coverage,
        coverage_edges_mm=(image.down_mm, image.across_mm),
        sheet=SheetPlace(length_mm=length, first_mm=first, end_mm=first + width),
        question=replace(
            setting.question,
            coverage=image.coverage,
            coverage_edges_mm=(image.down_mm, image.across_mm),
            sheet_mm=(length, width),
        ),
    )
