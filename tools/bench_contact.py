"""Measure the contact law: one solve, many at once, the direct solver, as times and as ratios to a fixed yardstick."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np

from filmsplit.contact.curves import contact_curves
from filmsplit.contact.indentation import indent
from filmsplit.contact.layer import SINGLE
from filmsplit.contact.nip import BondedCover, Known, Nip, squeeze, squeeze_many

RUNS = 15
BATCH = 100_000
ONE_SOLVE_MS, CONTACTS_PER_S = 5.0, 10_000.0
"""What was promised."""


def main() -> None:
    """Print the table."""
    random = np.random.default_rng(1)
    loads = random.uniform(0.05, 1.0, BATCH)
    sizes = {
        "relative_radius_mm": random.uniform(8, 40, BATCH),
        "thickness_mm": random.uniform(4, 14, BATCH),
        "modulus_mpa": random.uniform(0.6, 4, BATCH),
    }
    nip = Nip(relative_radius_mm=13.6, covers=(BondedCover(thickness_mm=10.0, modulus_mpa=1.05),))
    cases: dict[str, Callable[[], object]] = {
        "fit the curves, once a process": _fit,
        "one contact from its load": lambda: squeeze(nip, Known.LOAD, 0.3),
        f"{BATCH} contacts from their loads": lambda: squeeze_many(Known.LOAD, loads, **sizes),
        "direct solver, a/h 0.2": lambda: indent(0.2),
        "direct solver, a/h 2": lambda: indent(2.0),
        "direct solver, a/h 10": lambda: indent(10.0),
    }
    times = _interleaved({"yardstick": _yardstick, **cases})
    for name in cases:
        print(f"{name:36}{1e3 * times[name]:10.3f} ms{times[name] / times['yardstick']:10.3f} x yardstick")
    rate = BATCH / times[f"{BATCH} contacts from their loads"]
    print(f"{rate:.0f} contacts a second ({CONTACTS_PER_S:.0f} promised); one solve {ONE_SOLVE_MS:g} ms promised")


def _fit() -> None:
    contact_curves.cache_clear()
    contact_curves(SINGLE)


def _yardstick() -> float:
    """A fixed loop in plain Python."""
    return sum(i * 0.5 for i in range(100_000))


def _interleaved(cases: dict[str, Callable[[], object]]) -> dict[str, float]:
    """Median seconds of each, the cases taking turns so that a busy moment hits all alike."""
    times: dict[str, list[float]] = {name: [] for name in cases}
    for _ in range(RUNS):
        for name, case in cases.items():
            start = time.perf_counter()
            case()
            times[name].append(time.perf_counter() - start)
    return {name: statistics.median(each) for name, each in times.items()}


if __name__ == "__main__":
    main()
