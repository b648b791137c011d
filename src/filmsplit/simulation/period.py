"""The common period of plate, ductor and oscillators, and what is done where their cycles do not divide evenly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from filmsplit.simulation.network import DuctorFeed, Network

MOST_REVOLUTIONS = 12
"""A common period longer than this is not waited for: cycles are pulled to the nearest that divide a shorter one."""

WORTH_PER_REVOLUTION = 0.01
"""A period one revolution longer must bring the cycles nearer by this part of themselves to be worth waiting for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """Common period in plate revolutions; ``pulled`` is the largest change of a cycle made to have one (0: none)."""

    revolutions: int
    pulled: float


def cycles_of(network: Network) -> tuple[float, ...]:
    """Every different cycle in the train, in plate revolutions."""
    swings = [loop.swing.cycle_rev for loop in network.loops if loop.swing is not None and loop.swing.stroke_mm > 0]
    ductors = [feed.cycle_rev for feed in network.feeds if isinstance(feed, DuctorFeed)]
    return tuple(sorted({*swings, *ductors}))


def common_period(cycles: Sequence[float], *, most: int = MOST_REVOLUTIONS) -> Period:
    """The exact common period where it is short enough, otherwise a short one that pulls the cycles little."""
    exact = [Fraction(cycle).limit_denominator(1000) for cycle in cycles]
    if not exact:
        return Period(revolutions=1, pulled=0.0)
    # P is a whole number of cycles p/q exactly if p divides P q, and the fractions are in lowest terms
    whole = lcm(*(cycle.numerator for cycle in exact))
    if whole <= most and all(abs(float(e) - c) <= 1e-9 * c for e, c in zip(exact, cycles, strict=True)):
        return Period(revolutions=whole, pulled=0.0)
    found = [Period(revolutions=turns, pulled=max(_pull(c, turns) for c in cycles)) for turns in range(1, most + 1)]
    return min(found, key=lambda period: period.pulled + WORTH_PER_REVOLUTION * period.revolutions)


def _pull(cycle: float, turns: int) -> float:
    return abs(turns / max(1, round(turns / cycle)) / cycle - 1.0)


def with_common_period(network: Network, *, most: int = MOST_REVOLUTIONS) -> tuple[Network, Period]:
    """The network with its cycles pulled to divide the common period (the same network where they do)."""
    period = common_period(cycles_of(network), most=most)
    if period.pulled == 0.0:
        return network, period

    def pulled(cycle: float) -> float:
        return period.revolutions / max(1, round(period.revolutions / cycle))

    loops = tuple(
        replace(loop, swing=replace(loop.swing, cycle_rev=pulled(loop.swing.cycle_rev))) if loop.swing else loop
        for loop in network.loops
    )
    feeds = tuple(
        replace(feed, cycle_rev=pulled(feed.cycle_rev)) if isinstance(feed, DuctorFeed) else feed
        for feed in network.feeds
    )
    return replace(network, loops=loops, feeds=feeds, cycles_pulled=period.pulled), period
