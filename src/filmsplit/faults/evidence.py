"""How well evenly repeated marks explain measured ones: mathematics of a lattice with unknown start.

Places are ``start + count * repeat + error``: start flat, error normal with the reading's standard deviation, repeat
normal about what the part is known to have. Counts are whole numbers. All densities are per mm for every mark but
the first, so different explanations of the same marks compare.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

_REACH = 4.5
"""Standard deviations beyond which an explanation is not followed up (5e-6 of cases)."""

_LEAST_SHARE = 0.2
"""A repeat is not believed below this share of what is assumed for it, however wide the assumption."""

_MOST_WAYS = 50

Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Fit:
    """Repeat and middle of a lattice fitted to places, with the variances a prediction needs."""

    repeat_mm: float
    repeat_sd_mm: float
    middle_mm: float
    middle_sd_mm: float
    middle_count: float

    def place_mm(self, count: float) -> float:
        return self.middle_mm + (count - self.middle_count) * self.repeat_mm

    def place_sd_mm(self, count: float) -> float:
        return math.hypot(self.middle_sd_mm, (count - self.middle_count) * self.repeat_sd_mm)


def counts_within(
    travel: Sequence[float], repeat_mm: float, sd_mm: float, *, reading_sd_mm: float
) -> list[tuple[Counts, int]]:
    """The ways to count turns between places (in order of travel) that a known repeat allows, each with its weight.

    Two places and a repeat hardly known allow a great many ways, all alike: then every so many of them stand for all.
    """
    span, fewest = travel[-1] - travel[0], len(travel) - 1
    slack = _REACH * math.sqrt(2) * reading_sd_mm
    shortest = max(repeat_mm - _REACH * sd_mm, _LEAST_SHARE * repeat_mm)
    low = max(fewest, math.ceil((span - slack) / (repeat_mm + _REACH * sd_mm)))
    high = math.floor((span + slack) / shortest)
    every = max(1, (high - low) // _MOST_WAYS) if fewest == 1 else 1
    found = ((counts_for_total(travel, total), every) for total in range(low, high + 1, every))
    return [(counts, weight) for counts, weight in found if counts is not None]


def counts_for_total(travel: Sequence[float], total: int) -> Counts | None:
    """Turns up to each place when there are ``total`` from first to last; ``None`` if two would share a turn."""
    first, span = travel[0], travel[-1] - travel[0]
    if span <= 0:
        return None
    counts = tuple(round((place - first) / span * total) for place in travel)
    rising = all(before < after for before, after in itertools.pairwise(counts))
    return counts if rising else None


def log_evidence(
    travel: Sequence[float], counts: Counts, *, repeat_mm: float, sd_mm: float, reading_sd_mm: float
) -> float:
    """Log density of the places, repeat integrated over its normal, start over a flat one."""
    spread, product, square = _sums(travel, counts, repeat_mm)
    noise = reading_sd_mm**2
    known = noise + spread * sd_mm**2
    misfit = (square - (product * sd_mm) ** 2 / known) / noise
    return _log_norm(len(travel), noise) - 0.5 * math.log(known / noise) - 0.5 * misfit


def log_evidence_any_repeat(
    travel: Sequence[float], counts: Counts, *, reading_sd_mm: float, shortest_mm: float, longest_mm: float
) -> float:
    """The same where nothing is known of the repeat: flat in its logarithm between the two bounds."""
    fitted = fit(travel, counts, reading_sd_mm=reading_sd_mm)
    if not shortest_mm <= fitted.repeat_mm <= longest_mm:
        return -math.inf
    _, _, square = _sums(travel, counts, fitted.repeat_mm)
    noise = reading_sd_mm**2
    flat = 1 / (fitted.repeat_mm * math.log(longest_mm / shortest_mm))
    width = math.sqrt(2 * math.pi) * fitted.repeat_sd_mm
    return _log_norm(len(travel), noise) - 0.5 * square / noise + math.log(flat * width)


def fit(
    travel: Sequence[float],
    counts: Counts,
    *,
    reading_sd_mm: float,
    repeat_mm: float = 0.0,
    sd_mm: float = math.inf,
) -> Fit:
    """Least squares on the places, drawn towards a known repeat where ``sd_mm`` is given (0: held to it)."""
    spread, product, _ = _sums(travel, counts, repeat_mm)
    noise = reading_sd_mm**2
    precision = spread / noise + (1 / sd_mm**2 if sd_mm > 0 else math.inf)
    step = 0.0 if math.isinf(precision) else product / noise / precision
    number = len(travel)
    return Fit(
        repeat_mm=repeat_mm + step,
        repeat_sd_mm=1 / math.sqrt(precision),
        middle_mm=sum(travel) / number,
        middle_sd_mm=reading_sd_mm / math.sqrt(number),
        middle_count=sum(counts) / number,
    )


def _sums(travel: Sequence[float], counts: Counts, repeat_mm: float) -> tuple[float, float, float]:
    """About the means, of what the repeat leaves over: counts squared, counts times rest, rest squared."""
    number = len(travel)
    middle, middle_count = sum(travel) / number, sum(counts) / number
    spread = product = square = 0.0
    for place, count in zip(travel, counts, strict=True):
        away = count - middle_count
        rest = place - middle - away * repeat_mm
        spread += away * away
        product += away * rest
        square += rest * rest
    return spread, product, square


def _log_norm(number: int, noise: float) -> float:
    """Of a normal in all differences from the first place; its determinant is ``noise**(number-1) * number``."""
    return -0.5 * (number - 1) * math.log(2 * math.pi * noise) - 0.5 * math.log(number)
