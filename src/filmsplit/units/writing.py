"""Write a length or a temperature for a person, in the units they read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from filmsplit.messages.quantities import Quantity
from filmsplit.units.length import inch_from_mm
from filmsplit.units.water import fahrenheit_from_celsius


class LengthSystem(Enum):
    """What a person reads lengths in."""

    METRIC = "mm"
    INCH = "in"


class TemperatureSystem(Enum):
    """What a person reads temperatures in."""

    CELSIUS = "°C"
    FAHRENHEIT = "°F"


_DECIMALS = {LengthSystem.METRIC: 1, LengthSystem.INCH: 3}
"""As fine as a steel rule or a pi tape is read: 0.1 mm, or a few thousandths of an inch."""


def format_length(mm: float, system: LengthSystem = LengthSystem.METRIC, *, decimals: int | None = None) -> str:
    """A length with its unit: ``188.5 mm`` or ``7.421 in``."""
    number = mm if system is LengthSystem.METRIC else inch_from_mm(mm)
    places = _DECIMALS[system] if decimals is None else decimals
    return f"{_without_minus_zero(round(number, places)):.{places}f} {system.value}"


def format_lengths(
    values_mm: Sequence[float], system: LengthSystem = LengthSystem.METRIC, *, between: str = " / "
) -> str:
    """Several lengths with their unit once: ``4 / 4.1 / 4.25 mm``, metric ones as exactly as they were read."""
    metric = system is LengthSystem.METRIC
    numbers = (f"{each:g}" if metric else format_length(each, system).partition(" ")[0] for each in values_mm)
    return f"{between.join(numbers)} {system.value}"


def format_temperature(celsius: float, system: TemperatureSystem = TemperatureSystem.CELSIUS) -> str:
    """A temperature with its unit, as fine as a thermometer for rollers is read: ``23.5 °C`` or ``74.3 °F``."""
    number = celsius if system is TemperatureSystem.CELSIUS else fahrenheit_from_celsius(celsius)
    return f"{_without_minus_zero(round(number, 1)):g} {system.value}"


def _without_minus_zero(number: float) -> float:
    return number + 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitsRead:
    """Numbers of texts in the units a person reads, as fine as they were written in mm and °C."""

    lengths: LengthSystem = LengthSystem.METRIC
    temperatures: TemperatureSystem = TemperatureSystem.CELSIUS

    def number(self, said: Quantity) -> str:
        if said.unit == LengthSystem.METRIC.value and self.lengths is LengthSystem.INCH:
            return _inches(said)
        if said.unit == TemperatureSystem.CELSIUS.value and self.temperatures is TemperatureSystem.FAHRENHEIT:
            celsius = float(said.number)
            return f"{round(celsius * 1.8 if said.apart else fahrenheit_from_celsius(celsius), 1):g}"
        return said.number

    def unit(self, written: str) -> str:
        others = {
            LengthSystem.METRIC.value: self.lengths.value,
            TemperatureSystem.CELSIUS.value: self.temperatures.value,
        }
        return others.get(written, written)

    def scale(self, unit: str) -> float:
        return inch_from_mm(1.0) if unit == LengthSystem.METRIC.value and self.lengths is LengthSystem.INCH else 1.0


def _inches(said: Quantity) -> str:
    """A thousandth, or two digits more than in mm; what is said roughly with two digits in all."""
    inches, plus = inch_from_mm(float(said.number)), "+" if said.number.startswith("+") else ""
    if said.rough:
        return f"{inches:.2g}" if inches < _ROUGH_BELOW else f"{inches:.0f}"
    mantissa = said.number.partition("e")[0]
    written = len(mantissa.partition(".")[2])
    places = min(max(_DECIMALS[LengthSystem.INCH], written + 2), _FINEST)
    return f"{plus}{_without_minus_zero(round(inches, places)):.{places}f}"


_FINEST = 4
"""A ten-thousandth of an inch, 2.5 µm: no gauge of this trade reads finer."""
_ROUGH_BELOW = 100.0
