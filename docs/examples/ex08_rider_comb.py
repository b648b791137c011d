"""A rider is a comb: it evens out some ripples and lets others through untouched.

A roller brings a film that ripples along its surface. The rider gives back what it took a turn of its own before.
Where its circumference is a whole number of ripples, it gives every crest back to a crest: nothing is evened. Where
it is a half more, it gives crests to hollows, and only a third of the ripple is left. So riders are best of odd
diameters.

Closed form: what is left is 1 / |2 - exp(-i theta)|, theta = 2 pi circumference / wavelength: 1, 0.4472, 1/3 at a
whole, a quarter and a half. Source: algebra of the even split.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from gallery import picture
from small_trains import at, chain, cut, demand_on

from filmsplit.figures.axes import exact_axis, linear_axis
from filmsplit.simulation.march import march
from filmsplit.simulation.network import Loop, Nip
from filmsplit.simulation.state import State, empty

RIDER_MM, PASSES, SETTLED = 60, 40, 24
WAVES = tuple(part / 24 for part in range(12, 61))
"""Ripples on one rider circumference."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comb:
    """Part of the ripple that is left, for so many ripples on the rider's circumference."""

    waves: float
    left: float


def main() -> tuple[Comb, ...]:
    """A long surface runs past a rider once, for each ripple."""
    return tuple(Comb(waves=waves, left=_left(waves)) for waves in WAVES)


def _left(waves: float) -> float:
    length = RIDER_MM * PASSES
    host, rider = Loop(id="host", length_mm=float(length)), Loop(id="rider", length_mm=float(RIDER_MM))
    pair = replace(
        chain(1, plate_mm=float(length)),
        loops=(host, rider),
        nips=(Nip(a=at("host", 0.0), b=at("rider", 0.0)),),
        feeds=(),
        sheet=None,
    )
    train = cut(pair, round_mm=1.0)
    ripple = np.exp(2j * np.pi * waves * np.arange(length) / RIDER_MM)
    films = empty(train).films
    films[train.loops[0].rows, 0] = 1.0 + 0.5 * ripple.real
    films[train.loops[1].rows, 0] = 1.0
    done = march(train, demand_on(train, 0.0), state=State(0, films), revolutions=1)
    passed = slice(-SETTLED * RIDER_MM, None)  # what passed first had not settled; so many turns hold whole ripples
    film = done.state.of(train, "host")[passed, 0]
    return float(abs(2 * np.mean(film * ripple[passed])) / 0.5)


def visualize(result: tuple[Comb, ...]) -> str:
    """The comb."""
    return picture(
        "A rider evens out a ripple unless its own turn fits it",
        [("", [(each.waves, each.left) for each in result])],
        says="a surface with a rippled film runs past a rider once",
        x=exact_axis("ripples on the circumference of the rider", WAVES[0], WAVES[-1]),
        y=linear_axis("part of the ripple that is left", 0.0, 1.0),
    )


if __name__ == "__main__":
    for found in main()[::6]:
        print(f"{found.waves:.2f} ripples on the rider: {found.left:.4f} is left.")
