"""What a plan of the keys cannot reach, in words and numbers, each with the ways out."""

from __future__ import annotations

from collections.abc import Iterator

from filmsplit.messages import Problem
from filmsplit.setup.keys import KeyPlan, Reason, ZoneKey
from filmsplit.setup.limits import KeyLimits


def problems_of(plan: KeyPlan, limits: KeyLimits, *, reading: float | None) -> Iterator[Problem]:
    """Zones of one reason together, then the mean key. ``reading`` is the sweep's, ``None`` where there is none."""
    for reason in Reason:
        keys = [key for key in plan.zones if key.reason is reason]
        if keys:
            yield Problem(reason.value, _values(keys, limits))
    if any(key.aim_um is not None for key in plan.zones):
        yield from _mean_key(plan, limits, reading=reading)


def _values(keys: list[ZoneKey], limits: KeyLimits) -> dict[str, object]:
    return {
        "zones": ", ".join(str(key.zone) for key in keys),
        "off_percent": _span([100 * key.off for key in keys]),
        "lowest_percent": 100 * limits.lowest,
        "highest_percent": 100 * limits.highest,
        "step_percent": 100 * (limits.step or 0.0),
    }


def _span(values: list[float]) -> str:
    """Smallest and largest with their signs; once where both round to the same."""
    ends = [f"{each:+.0f}" for each in (min(values), max(values))]
    return ends[0] if ends[0] == ends[1] else " … ".join(ends)


def _mean_key(plan: KeyPlan, limits: KeyLimits, *, reading: float | None) -> Iterator[Problem]:
    """The mean open key is not at mid-range."""
    mean = plan.mean_open
    if limits.mean_lowest <= mean <= limits.mean_highest:
        return
    values: dict[str, object] = {
        "mean_percent": 100 * mean,
        "from_percent": 100 * limits.mean_lowest,
        "to_percent": 100 * limits.mean_highest,
    }
    if reading is None:
        yield Problem("setup-mean-key-no-sweep", values)
    elif mean < limits.mean_lowest:
        yield Problem("setup-mean-key-small", values | {"reading": reading})
    else:
        yield Problem("setup-mean-key-wide", values | {"reading": reading})
