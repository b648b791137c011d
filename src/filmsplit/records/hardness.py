"""What a hardness reading says: its median, put right by the instrument's calibration, and how sure that is."""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass

from filmsplit.numerics.medians import median_sd
from filmsplit.records.entries import Entry
from filmsplit.records.instruments import Instrument

SCALE_SD_SHORE_A = 1 / math.sqrt(12)
"""A scale read to whole points: half a point either way, all equally likely."""
FEW_SD_SHORE_A = 1.5
"""Scatter of one careful hand on one cover (common practice), where there are too few readings to see it."""
INSTRUMENT_SD_SHORE_A = 1.5
"""What an instrument without a calibration that counts may be off; two may differ by 4 points (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardness:
    """Apparent hardness at the temperature of the reading. ``sd_shore_a`` is one standard deviation.

    ``calibrated``: whether a calibration of that day was used; without one nothing is put right and the instrument
    counts as unknown. ``spread_shore_a`` is the largest value less the smallest.
    """

    median_shore_a: float
    sd_shore_a: float
    spread_shore_a: float
    count: int
    calibrated: bool


def hardness_of(entry: Entry, instrument: Instrument | None) -> Hardness:
    """The hardness that an entry of that kind tells. ``instrument`` is the one it was read with, if anybody said."""
    calibration = instrument.calibration_on(entry.day) if instrument is not None else None
    counts = calibration is not None and (calibration.due is None or entry.day <= calibration.due)
    offset = calibration.offset if calibration is not None and counts else 0.0
    own_sd = calibration.uncertainty if calibration is not None and counts else INSTRUMENT_SD_SHORE_A
    scatter_sd = median_sd(entry.values, least_sd=SCALE_SD_SHORE_A, sd_of_few=FEW_SD_SHORE_A)
    return Hardness(
        median_shore_a=statistics.median(entry.values) - offset,
        sd_shore_a=math.hypot(scatter_sd, own_sd),
        spread_shore_a=max(entry.values) - min(entry.values),
        count=len(entry.values),
        calibrated=counts,
    )
