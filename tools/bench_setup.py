"""Measure settings as ratios in one run: what is prepared once for a plate, and what each further answer takes."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from functools import partial

import numpy as np

from filmsplit.press.fountain import Sweep
from filmsplit.press.words import BladeKind, SweepKind
from filmsplit.setup.keys import KeyAsk, fit_keys
from filmsplit.setup.limits import limits_on
from filmsplit.setup.sweep_range import sweep_range

ZONES = 24
RUNS = 9


def main() -> None:
    """Print the table: 24 zones, a response of the form real ones have, one yardstick of plain Python."""
    yardstick = _median_s(_yardstick)
    print(f"| settings for {ZONES} zones, response prepared | median ms | × yardstick |")
    print("|---|---|---|")
    for blade in BladeKind:
        ask = _ask(0, blade)
        one = _median_s(partial(fit_keys, ask))
        whole = _median_s(partial(_all_sweeps, ask))
        print(f"| keys at one sweep, blade {blade.value} | {1e3 * one:.1f} | {one / yardstick:.2f} |")
        print(f"| keys and sweep of 49, blade {blade.value} | {1e3 * whole:.1f} | {whole / yardstick:.2f} |")


def _ask(seed: int, blade: BladeKind) -> KeyAsk:
    """Ink carried sideways over two zones and shared among what the zones take: made up, of the right form."""
    rng = np.random.default_rng(seed)
    apart = np.abs(np.subtract.outer(np.arange(ZONES), np.arange(ZONES)))
    kernel, tints = np.exp(-((apart / 1.5) ** 2)), rng.uniform(0.05, 0.5, ZONES)
    return KeyAsk(
        response=0.02 * kernel / (kernel @ tints)[:, None],
        aim_um=np.ones(ZONES),
        weights=tints,
        full_um=np.full(ZONES, 60.0),
        limits=limits_on(blade),
    )


def _all_sweeps(ask: KeyAsk) -> None:
    """As a free sweep is chosen: a fit at each setting tried."""
    sweeps = sweep_range(Sweep(kind=SweepKind.CONTINUOUS, lowest=0, highest=50, mm_per_division=1.0), unit="bench")
    for sweep_mm in sweeps.sweeps_mm:
        scale = (sweep_mm / 25.0) ** 0.8
        fit_keys(
            KeyAsk(
                response=scale * ask.response,
                aim_um=ask.aim_um,
                weights=ask.weights,
                full_um=ask.full_um,
                limits=ask.limits,
            )
        )


def _yardstick() -> int:
    return sum(number * number % 7 for number in range(50_000))


def _median_s(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


if __name__ == "__main__":
    main()
