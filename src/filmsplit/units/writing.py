"""Write a length or a temperature for a person, in the units they read."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

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
