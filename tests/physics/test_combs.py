"""Riders and oscillators as filters of a pattern: round the loops and across."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import j0

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.march import march
from filmsplit.simulation.network import Loop, Network, Swing
from filmsplit.simulation.state import empty
from physics.marching import train_of
from physics.trains import chain, nip


def two_loops(host: Loop, rider: Loop, *, plate_mm: float, contact: float = 1.0) -> Network:
    """Nothing but a host and its rider."""
    nips = (nip(("host", 0.0), ("rider", 0.0), contact=contact),)
    return replace(chain(1), plate_mm=plate_mm, loops=(host, rider), nips=nips, feeds=(), sheet=None)


@pytest.mark.parametrize(("turns", "amplitude"), [(1.0, 1.0), (0.25, 0.4472), (0.5, 1 / 3), (1.25, 0.4472)])
def test_rider_is_a_comb_for_ripple(turns: float, amplitude: float) -> None:
    """Returned amplitude |1/(2 - exp(-i theta))|, theta = 2 pi C / wavelength (algebra; four decimals printed)."""
    circumference = 40
    wave = round(circumference / turns)
    plate = 4 * circumference
    host = Loop(id="host", length_mm=8.0 * plate)
    rider = Loop(id="rider", length_mm=float(circumference))
    train = train_of(two_loops(host, rider, plate_mm=float(plate)), rows=plate)
    state = empty(train)
    rows = np.arange(8 * plate)
    state.films[train.loops[0].rows, 0] = 1 + 0.5 * np.cos(2 * np.pi * rows / wave)
    state.films[train.loops[1].rows, 0] = 1.0
    done = march(train, Demand(coverage=np.zeros((plate, 1))), state=state, revolutions=8)
    returned = done.state.of(train, "host")[-4 * plate :, 0]  # the start of the pass has not settled
    ripple = np.exp(2j * np.pi * np.arange(returned.size) / wave)
    assert abs(2 * np.mean(returned * ripple)) / 0.5 == pytest.approx(amplitude, abs=1e-4)
    assert returned.mean() == pytest.approx(1.0, rel=1e-6)  # the rest of what had not settled


def returned_pattern(stroke_mm: float, *, share: float, wave_mm: float) -> float:
    """Amplitude of a pattern across that an oscillating rider gives back to a host that keeps bringing it."""
    rider = Loop(id="rider", length_mm=37.0, swing=Swing(stroke_mm=stroke_mm, cycle_rev=2.0**0.5 * 1.7))
    net = two_loops(Loop(id="host", length_mm=100.0), rider, plate_mm=100.0, contact=share)
    train = train_of(net, rows=100, columns=800)
    pattern: Array = np.cos(2 * np.pi * train.grid.centres_mm / wave_mm)
    middle = slice(200, 600)  # away from the ends, where the rider stands out
    state, host = empty(train), train.loops[0].rows
    demand = Demand(coverage=np.zeros((100, 800)))
    back = []
    for turn in range(700):
        state.films[host] = 1 + 0.5 * pattern  # the host is held: every turn it brings the same pattern
        state = march(train, demand, state=state, revolutions=1).state
        if turn >= 500:
            gained = state.films[host].mean(axis=0) - (1 + 0.5 * pattern) * (1 - share / 2)
            back.append(gained / (share / 2) - 1)
    mean = np.mean(back, axis=0)
    return float(mean[middle] @ pattern[middle] / (pattern[middle] @ pattern[middle]) / 0.5)


def test_oscillating_rider_returns_the_square_of_a_bessel_function() -> None:
    """Exchange share -> 0, cycle incommensurate: J0^2(pi stroke / wavelength) of a pattern across; stroke 30,
    wavelength 80 mm -> 0.4651 (algebra; 0.464 marched at share 0.01, which the tolerance leaves room for)."""
    assert j0(np.pi * 30 / 80) ** 2 == pytest.approx(0.4651, abs=5e-5)
    assert returned_pattern(30.0, share=0.01, wave_mm=80.0) == pytest.approx(0.4651, abs=0.004)
