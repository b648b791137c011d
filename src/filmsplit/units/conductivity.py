"""Conductivity as people write and read it: µS/cm, or µmho/cm as older meters and papers have it."""

from __future__ import annotations

import re
from enum import Enum

from filmsplit.messages import Problem, Refusal
from filmsplit.units.water import umho_from_us, us_from_umho


class ConductivitySystem(Enum):
    """What a person reads conductivities in."""

    MICROSIEMENS = "µS/cm"
    MICROMHO = "µmho/cm"


_LONGEST_TEXT = 30
_MILLI = 1000.0
_SCALES = {"s": 1.0, "mho": us_from_umho(1.0)}
_CONDUCTIVITY = re.compile(
    r"(?P<number>[0-9]{1,6}(?:[.,][0-9]{0,6})?)\s*(?:(?P<prefix>[µμum])(?P<unit>s|mho)s?(?:\s*/\s*cm)?)?", re.IGNORECASE
)
"""Whole microsiemens need no decimals, millisiemens do; a comma is a decimal one, thousands are written without."""
_LIKE_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def format_conductivity(
    us_per_cm: float, system: ConductivitySystem = ConductivitySystem.MICROSIEMENS, *, signed: bool = False
) -> str:
    """A conductivity with its unit, ``1450 µS/cm`` or ``1450 µmho/cm``; a difference with its sign."""
    number = umho_from_us(us_per_cm) if system is ConductivitySystem.MICROMHO else us_per_cm
    return f"{round(number) + 0:{'+' if signed else ''}d} {system.value}"


def parse_conductivity_us_per_cm(text: str, *, system: ConductivitySystem = ConductivitySystem.MICROSIEMENS) -> float:
    """The conductivity in a text, µS/cm: "1450", "1450 umho", "1.45 mS/cm". A bare number is in ``system``.

    :class:`Refusal` for anything else.
    """
    asked = text.strip()
    match = _CONDUCTIVITY.fullmatch(asked) if len(asked) <= _LONGEST_TEXT else None
    if match is None or _LIKE_THOUSANDS.fullmatch(match["number"]):
        raise Refusal(Problem("conductivity-not-understood", {"text": asked[:_LONGEST_TEXT], "unit": system.value}))
    number = float(match["number"].replace(",", "."))
    if match["unit"] is None:
        return us_from_umho(number) if system is ConductivitySystem.MICROMHO else number
    scale = _SCALES[match["unit"].lower()]
    return number * scale * (_MILLI if match["prefix"].lower() == "m" else 1.0)
