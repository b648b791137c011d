"""Bands of pH and temperature that a fountain solution is held to: the shop's own first, else usual ones, marked so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.condition.verdict import Finding, Verdict
from filmsplit.condition.words import Basis
from filmsplit.messages import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """From where to where a value is as it should be, and what says so."""

    low: float
    high: float
    basis: Basis

    def holds(self, value: float) -> bool:
        return self.low <= value <= self.high


def own_band(ends: tuple[float, float] | None) -> Band | None:
    """A band of the shop's own, from its two ends."""
    return None if ends is None else Band(low=ends[0], high=ends[1], basis=Basis.SHOP)


PH_WITH_ALCOHOL = Band(low=4.8, high=5.5, basis=Basis.COMMON_PRACTICE)
PH_WITHOUT_ALCOHOL = Band(low=3.8, high=4.6, basis=Basis.COMMON_PRACTICE)
PH_NOT_SAID = Band(low=3.8, high=5.5, basis=Basis.COMMON_PRACTICE)
"""Acid solutions; the maker's own band is another for every concentrate. Nobody said whether there is alcohol: either.
"""
C_WITH_ALCOHOL = Band(low=10.0, high=15.0, basis=Basis.COMMON_PRACTICE)
C_WITHOUT_ALCOHOL = Band(low=12.0, high=17.0, basis=Basis.COMMON_PRACTICE)
"""Chilled; without a chiller the room's 20 to 24 °C are usual."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionBands:
    """What the shop says of its solution; ``None`` where it says nothing. ``product`` is whose band it is."""

    product: str = ""
    ph: Band | None = None
    temperature_c: Band | None = None

    def ph_band(self, alcohol_percent: float | None) -> Band:
        """The band that holds: the shop's own, else the usual one."""
        if alcohol_percent is None:
            return self.ph or PH_NOT_SAID
        return self.ph or (PH_WITH_ALCOHOL if alcohol_percent > 0 else PH_WITHOUT_ALCOHOL)

    def temperature_band(self, alcohol_percent: float | None) -> Band:
        """The band that holds: the shop's own, else the usual one of a chilled solution."""
        return self.temperature_c or (C_WITH_ALCOHOL if alcohol_percent else C_WITHOUT_ALCOHOL)

    def findings(
        self, ph: float | None, temperature_c: float | None, *, alcohol_percent: float | None
    ) -> Iterator[Finding]:
        """What lies outside its band. The shop's own band is to be held; of a usual one it is only said."""
        band = self.ph_band(alcohol_percent)
        if ph is not None and not band.holds(ph):
            values = {"ph": ph, "low": band.low, "high": band.high, "basis": band.basis.value}
            yield Finding(verdict=_outside(band), problem=Problem("solution-ph-outside", values))
        warm = self.temperature_band(alcohol_percent)
        if temperature_c is not None and not warm.holds(temperature_c):
            values = {"temperature_c": temperature_c, "low": warm.low, "high": warm.high, "basis": warm.basis.value}
            verdict = Verdict.WATCH if warm.basis is Basis.SHOP else Verdict.KEEP
            yield Finding(verdict=verdict, problem=Problem("solution-temperature-outside", values))


def _outside(band: Band) -> Verdict:
    return Verdict.ACT if band.basis is Basis.SHOP else Verdict.WATCH
