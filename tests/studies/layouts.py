"""Seeded layouts that are prone to ghosts: tints with windows, strips and solids in them, and free trim round them."""

from __future__ import annotations

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.press import Press
from filmsplit.studies.film_checks import reach_of

LEAST_MM = 10


def sheet_of(press: Press, rng: np.random.Generator) -> tuple[float, float]:
    """A sheet that the press takes, in whole millimetres: length, width."""
    length, width = reach_of(press, press.units[0])
    return float(int(length * rng.uniform(0.7, 1.0))), float(int(width * rng.uniform(0.7, 1.0)))


def layout(size_mm: tuple[float, float], rng: np.random.Generator) -> Array:
    """Coverage of a sheet, one millimetre a cell."""
    length, width = (int(side) for side in size_mm)
    coverage = np.zeros((length, width))
    lead, tail = rng.integers(8, 25), length - rng.integers(8, 60)
    operator, gear = rng.integers(5, 30), width - rng.integers(5, 30)
    coverage[lead:tail, operator:gear] = rng.uniform(0.2, 0.9)
    for _ in range(rng.integers(1, 4)):
        long = int(rng.uniform(0.08, 0.4) * (tail - lead))
        wide = int(rng.uniform(0.1, 0.6) * (gear - operator))
        top, left = rng.integers(lead, tail - long), rng.integers(operator, gear - wide)
        coverage[top : top + long, left : left + wide] = rng.choice([0.0, 0.0, 0.1, 1.0])
    return coverage
