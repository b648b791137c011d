"""The sweeps a press can be set to, in mm of fountain roller surface."""

from __future__ import annotations

import math
from dataclasses import dataclass

from filmsplit.messages import Problem
from filmsplit.press.fountain import Sweep
from filmsplit.press.words import SweepKind

MIDDLE_MM = 20.0
"""A middling sweep, where nobody knows how far a division goes (common practice)."""

STEPS = 48
"""Settings tried on a sweep that can be set anywhere: nearer than a pressman reads the scale."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SweepRange:
    """Readings that can be set, and the mm of surface that one division is."""

    readings: tuple[float, ...]
    mm_per_division: float
    assumptions: tuple[Problem, ...] = ()

    @property
    def sweeps_mm(self) -> tuple[float, ...]:
        return tuple(reading * self.mm_per_division for reading in self.readings)

    def reading_of(self, sweep_mm: float) -> float:
        return sweep_mm / self.mm_per_division


def sweep_range(sweep: Sweep, *, unit: str) -> SweepRange:
    """Whole notches, or a fine net of settings; a sweep that feeds nothing is not among them."""
    known = sweep.mm_per_division
    middle = (sweep.lowest + sweep.highest) / 2
    values = {"unit": unit, "sweep_mm": MIDDLE_MM, "reading": middle}
    return SweepRange(
        readings=tuple(_notches(sweep) if sweep.kind is SweepKind.NOTCHED else _net(sweep)),
        mm_per_division=MIDDLE_MM / middle if known is None else known,
        assumptions=() if known is not None else (Problem("setup-sweep-scale-assumed", values),),
    )


def _notches(sweep: Sweep) -> list[float]:
    return [float(n) for n in range(max(1, math.ceil(sweep.lowest)), math.floor(sweep.highest) + 1)]


def _net(sweep: Sweep) -> list[float]:
    step = (sweep.highest - sweep.lowest) / STEPS
    return [sweep.lowest + n * step for n in range(STEPS + 1) if sweep.lowest + n * step > 0]
