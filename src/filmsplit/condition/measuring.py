"""How sure a reading is. One standard deviation of each kind of error, with where it comes from."""

from __future__ import annotations

import math
from statistics import stdev

from filmsplit.condition.readings import HardnessReading

READING_SHORE_A = 1.5
"""Spread of single readings on one face (common practice)."""

MEDIAN_LOSS = 1.2533
"""A median is less sure than a mean by the root of half pi, on normal errors (any textbook of statistics)."""

READER_SHORE_A = 1.5
"""What another reader or instrument reads otherwise: 1 to 2 points (common practice)."""

SAME_READER_SHORE_A = 0.5
"""What is left of that when one reader comes back with one instrument (invented default)."""

REFERENCE_C = 23.0
"""Laboratory temperature of the durometer standards (ASTM D2240, ISO 48-4; memory)."""

SHORE_A_PER_K = -0.15
"""Rubber reads softer when warm. The direction is common practice, the size an invented default."""

UNKNOWN_TEMPERATURE_K = 4.0
"""How far off the reference a room is that nobody measured (invented default)."""

DIAMETER_MM = 0.03
DIAMETER_DIFFERENCE_MM = 0.02
RUN_OUT_MM = 0.01
STRIPE_MM = 0.2
PLAY_MM = 0.03
FACE_MM = 0.3
JOURNAL_MM = 0.01
"""Micrometer or tape on rubber, the same for a difference at one sitting, dial indicator, ruler on a stripe with soft
edges, feeler, ruler, micrometer on steel (common practice)."""


def median_sigma(reading: HardnessReading) -> float:
    """Deviation of the median of one round, from its own spread drawn towards the usual one."""
    values = reading.values_shore_a
    own = stdev(values) if len(values) > 1 else READING_SHORE_A
    pooled = math.sqrt((len(values) * own**2 + 4 * READING_SHORE_A**2) / (len(values) + 4))
    return MEDIAN_LOSS * pooled / math.sqrt(len(values)) if len(values) > 2 else pooled / math.sqrt(len(values))


def corrected(reading: HardnessReading) -> tuple[float, float]:
    """The median as it would read at the reference temperature, and its deviation, reader apart."""
    if reading.temperature_c is None:
        return reading.median_shore_a, math.hypot(median_sigma(reading), SHORE_A_PER_K * UNKNOWN_TEMPERATURE_K)
    off_k = reading.temperature_c - REFERENCE_C
    # The coefficient itself is known to half its size only.
    return reading.median_shore_a - SHORE_A_PER_K * off_k, math.hypot(
        median_sigma(reading), 0.5 * SHORE_A_PER_K * off_k
    )


def change(first: HardnessReading, last: HardnessReading) -> tuple[float, float]:
    """Change from one round to another and its deviation. Another reader or instrument makes it less sure."""
    (before, sigma_before), (after, sigma_after) = corrected(first), corrected(last)
    same = bool(first.reader) and first.reader == last.reader and first.instrument == last.instrument
    bias = SAME_READER_SHORE_A if same else math.sqrt(2) * READER_SHORE_A
    return after - before, math.hypot(sigma_before, sigma_after, bias)
