"""The median of a few readings, and how sure it is."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence


def median_sd(values: Sequence[float], *, least_sd: float, sd_of_few: float) -> float:
    """One standard deviation of the median of ``values``, in their unit.

    The scatter is that of the values, at least ``least_sd``; of fewer than three values nobody can tell it, and
    ``sd_of_few`` stands in. Variance of the median of ``n`` normal values: ``pi / (2 n + pi - 2)`` of theirs, the
    limit for many values, ``pi / (2 n)`` (Kenney & Keeping 1962; memory), made exact for one. Within 1 % for odd ``n``,
    up to 11 % too wide for even ``n``. ``ValueError`` without values.
    """
    if not values:
        raise ValueError("no values, no median")
    count = len(values)
    sd = max(least_sd, statistics.stdev(values)) if count >= 3 else sd_of_few
    return sd * math.sqrt(math.pi / (2 * count + math.pi - 2))
