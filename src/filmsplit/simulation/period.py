"""The common period of plate, ductor and oscillators, and what is done where their cycles do not divide evenly.

Cycles are then pulled to the nearest that do. Two things must not be pulled: the ductor's cycle, because it sets how
much ink is fed (1 % of the cycle is about 1 % of the ink); and ductor and oscillator into step, because the ductor
then always meets its partner at the same end of the stroke (up to 19 % of the film, measured). An oscillator's cycle
matters little: 1 % of it moved no place on the sheet by more than 0.1 %.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from filmsplit.simulation.network import DuctorFeed, Network

MOST_REVOLUTIONS = 48
"""A common period longer than this is not waited for."""

GOOD_ENOUGH = 5e-4
"""The shortest period is taken that is expected to put the film wrong by no more than this."""

PER_DUCTOR_PULL = 1.0
"""Expected error of the film for a pull of the ductor's cycle: the feed changes by as much."""

PER_SWING_PULL = 0.1
"""Expected error of the film for a pull of the strongest oscillator's cycle (measured: 0.03 to 0.11)."""

IN_STEP = 0.2
"""Expected error where ductor and oscillator keep step and truly do not (measured: 0.03 to 0.19)."""

PER_PHASE = 4.0
"""With every further phase at which the ductor meets the oscillator that error is so many times smaller."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """Common period in plate revolutions; ``pulled`` is the largest change of a cycle made to have one (0: none)."""

    revolutions: int
    pulled: float


def cycles_of(network: Network) -> tuple[float, ...]:
    """Every different cycle in the train, in plate revolutions."""
    return tuple(sorted({*_swings(network), *_ductors(network)}))


def common_period(cycles: Sequence[float], *, most: int = MOST_REVOLUTIONS) -> Period | None:
    """Revolutions after which all the cycles begin together, or ``None`` where that takes longer than ``most``."""
    exact = [Fraction(cycle).limit_denominator(1000) for cycle in cycles]
    if not all(abs(float(e) - c) <= 1e-9 * c for e, c in zip(exact, cycles, strict=True)):
        return None
    # P is a whole number of cycles p/q exactly if p divides P q, and the fractions are in lowest terms
    whole = lcm(1, *(cycle.numerator for cycle in exact))
    return Period(revolutions=whole, pulled=0.0) if whole <= most else None


def with_common_period(network: Network, *, most: int = MOST_REVOLUTIONS) -> tuple[Network, Period]:
    """The network with its cycles pulled to divide the common period (the same network where they do)."""
    exact = common_period(cycles_of(network), most=most)
    if exact is not None:
        return network, exact
    choice = _best(network, most=most)
    whole = {cycle: choice.turns / times for cycle, times in choice.times.items()}
    pulled = {cycle: other for cycle, other in whole.items() if abs(other - cycle) > 1e-9 * cycle}
    largest = max(_pull(cycle, choice.turns, times) for cycle, times in choice.times.items())
    return with_cycles(network, pulled, pulled=largest), Period(revolutions=choice.turns, pulled=largest)


def with_cycles(network: Network, cycles: Mapping[float, float], *, pulled: float) -> Network:
    """The network with other cycles in the place of its own; those it was built with are kept beside them."""
    true: list[tuple[str, float]] = []
    loops, feeds = list(network.loops), list(network.feeds)
    for i, loop in enumerate(network.loops):
        if loop.swing is not None and loop.swing.cycle_rev in cycles:
            true.append((loop.id, loop.swing.cycle_rev))
            loops[i] = replace(loop, swing=replace(loop.swing, cycle_rev=cycles[loop.swing.cycle_rev]))
    for i, feed in enumerate(network.feeds):
        if isinstance(feed, DuctorFeed) and feed.cycle_rev in cycles:
            true.append((feed.id, feed.cycle_rev))
            feeds[i] = replace(feed, cycle_rev=cycles[feed.cycle_rev])
    known = dict(true) | dict(network.true_cycles)
    return replace(
        network, loops=tuple(loops), feeds=tuple(feeds), cycles_pulled=pulled, true_cycles=tuple(known.items())
    )


@dataclass(frozen=True, slots=True)
class _Choice:
    """A period and how often each cycle goes into it."""

    turns: int
    times: Mapping[float, int]
    error: float


def _best(network: Network, *, most: int) -> _Choice:
    """The shortest period expected to be good enough, else the one expected to be best."""
    choices = [_choice(network, turns) for turns in range(1, most + 1)]
    good = [choice for choice in choices if choice.error <= GOOD_ENOUGH]
    return good[0] if good else min(choices, key=lambda choice: (choice.error, choice.turns))


def _choice(network: Network, turns: int) -> _Choice:
    """What to make of one period. Its expected error is a rule of thumb, only to choose by: the solve estimates it."""
    swings, ductors = _swings(network), _ductors(network)
    dwells = {cycle: max(1, round(turns / cycle)) for cycle in ductors}
    error = sum(PER_DUCTOR_PULL * _pull(cycle, turns, dwells[cycle]) for cycle in ductors)
    times = dict(dwells)
    strongest = max(swings.values(), default=1.0)
    for cycle in swings:
        if cycle in ductors:
            continue
        works, nearest = swings[cycle] / strongest, round(turns / cycle)
        options = [max(1, nearest + more) for more in (0, -1, 1)]
        expected = {n: works * _swing_error(cycle, n, turns=turns, ductors=dwells) for n in options}
        times[cycle] = min(options, key=lambda n: expected[n])
        error += expected[times[cycle]]
    return _Choice(turns, times, error)


def _swing_error(cycle: float, strokes: int, *, turns: int, ductors: Mapping[float, int]) -> float:
    """Expected error from one oscillator's cycle: what it is pulled by, and whether a ductor keeps step with it."""
    error = PER_SWING_PULL * _pull(cycle, turns, strokes)
    for ductor, times in ductors.items():
        if abs(ductor * times - cycle * strokes) > 1e-9 * turns:  # else they keep step as they are
            phases = lcm(times, strokes) // strokes
            error += IN_STEP * PER_PHASE ** (1 - phases)
    return error


def _swings(network: Network) -> dict[float, float]:
    """Cycles of the oscillators, and how strongly they work: sideways speed squared, the strongest of each cycle."""
    found: dict[float, float] = {}
    for loop in network.loops:
        if loop.swing is not None and loop.swing.stroke_mm > 0:
            works = (loop.swing.stroke_mm / loop.swing.cycle_rev) ** 2
            found[loop.swing.cycle_rev] = max(works, found.get(loop.swing.cycle_rev, 0.0))
    return found


def _ductors(network: Network) -> set[float]:
    return {feed.cycle_rev for feed in network.feeds if isinstance(feed, DuctorFeed)}


def _pull(cycle: float, turns: int, times: int) -> float:
    return abs(turns / times / cycle - 1.0)
