"""The titration line: conductivity of today's water with measured doses in it, and the dose it tells of a fresh mix.

``conductivity = water + rise per cent * dose`` (common practice: the salts of the concentrate carry the current, and so
little of them that each adds its share). Fitted by the median of all slopes between two readings (Theil 1950, Sen 1968;
memory), so that one slip among five moves it hardly at all, and shows as a reading off the line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import median

from filmsplit.messages import Problem, Refusal

FEWEST_DOSES = 3
"""Two readings always lie on a line: they tell nothing about each other."""

MOST_OFF = 0.10
"""A reading off the line by more than this part of a step of 1 %: the water changed, or something got in (common
practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dosed:
    """One reading of the line: the dose measured out, percent of the volume, and what the meter showed."""

    dose_percent: float
    us_per_cm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TitrationLine:
    """The line through the readings: ``water_us_per_cm`` without any dose, ``step_us_per_cm`` for each 1 % of it.

    ``off_us_per_cm`` is how far the reading at ``off_at_percent``, the farthest, lies off the line.
    """

    readings: tuple[Dosed, ...]
    water_us_per_cm: float
    step_us_per_cm: float
    off_us_per_cm: float
    off_at_percent: float

    @property
    def is_straight(self) -> bool:
        """Whether a dose may be read from it."""
        return self.off_us_per_cm <= MOST_OFF * self.step_us_per_cm

    def at(self, dose_percent: float) -> float:
        """The conductivity of a fresh mix with this dose."""
        return self.water_us_per_cm + self.step_us_per_cm * dose_percent

    def dose_of(self, us_per_cm: float) -> float:
        """The dose in a fresh mix with this conductivity, percent."""
        return (us_per_cm - self.water_us_per_cm) / self.step_us_per_cm


def titration_line(readings: Sequence[Dosed]) -> TitrationLine:
    """The line through ``readings``. :class:`Refusal` with too few doses, or where conductivity does not rise."""
    doses = {each.dose_percent for each in readings}
    if len(doses) < FEWEST_DOSES:
        raise Refusal(Problem("solution-line-few-doses", {"given": len(doses), "fewest": FEWEST_DOSES}))
    pairs = ((a, b) for a, b in combinations(readings, 2) if a.dose_percent != b.dose_percent)
    step = median((b.us_per_cm - a.us_per_cm) / (b.dose_percent - a.dose_percent) for a, b in pairs)
    if not step > 0:  # NaN does not rise either
        raise Refusal(Problem("solution-line-does-not-rise", {"step": step}))
    water = median(each.us_per_cm - step * each.dose_percent for each in readings)
    farthest = max(readings, key=lambda each: abs(each.us_per_cm - water - step * each.dose_percent))
    return TitrationLine(
        readings=tuple(sorted(readings, key=lambda each: each.dose_percent)),
        water_us_per_cm=water,
        step_us_per_cm=step,
        off_us_per_cm=abs(farthest.us_per_cm - water - step * farthest.dose_percent),
        off_at_percent=farthest.dose_percent,
    )
