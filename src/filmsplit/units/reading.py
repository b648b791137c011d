"""Read a length as a person writes it: "12.5", "1/2 in", '0.5"', "3/16in", "2 1/2 in", "12,5 mm"."""

from __future__ import annotations

import math
import re

from filmsplit.messages import Problem, Refusal
from filmsplit.units.length import MM_PER_INCH

MM_PER_UNIT = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": MM_PER_INCH,
    "mil": MM_PER_INCH / 1000.0,
    "µm": 0.001,
}
"""Millimetres in one of each unit a length may be written in."""

_OTHER_SPELLINGS = {
    "inch": "in",
    "inches": "in",
    '"': "in",
    "″": "in",
    "”": "in",
    "''": "in",
    "mils": "mil",
    "thou": "mil",
    "um": "µm",
    "μm": "µm",
    "micron": "µm",
    "microns": "µm",
}
_LONGEST_TEXT = 60
_DIGITS = r"[0-9]{1,12}"
_FRACTION = rf"(?P<over>{_DIGITS})\s*/\s*(?P<under>{_DIGITS})"
_DECIMAL = rf"[-+]?(?:{_DIGITS}(?:[.,][0-9]{{0,12}})?|[.,][0-9]{{1,12}})"
_LENGTH = re.compile(
    rf"(?P<sign>[-+]?)(?:(?P<whole>{_DIGITS})[ -])?{_FRACTION}\s*(?P<fraction_unit>\D*)"
    rf"|(?P<number>{_DECIMAL})\s*(?P<unit>[^0-9.,/]*)"
)
_LIKE_THOUSANDS = re.compile(r"[-+]?[1-9][0-9]{0,2},[0-9]{3}")


def parse_length_mm(text: str, *, unit: str = "mm") -> float:
    """The length written in ``text``, in mm. A bare number is in ``unit``. Raises :class:`Refusal`."""
    asked = text.strip()
    match = _LENGTH.fullmatch(asked) if len(asked) <= _LONGEST_TEXT else None
    if match is None:
        raise Refusal(Problem("length-not-understood", {"text": asked[:_LONGEST_TEXT]}))
    written = (match["fraction_unit"] if match["over"] else match["unit"]).strip()
    return _number(match, asked) * _mm_per(written or unit, asked)


def _mm_per(written: str, asked: str) -> float:
    """Millimetres in one of the unit as written."""
    name = written.casefold()
    name = _OTHER_SPELLINGS.get(name, name)
    if name not in MM_PER_UNIT:
        raise Refusal(Problem("length-unit-unknown", {"text": asked, "unit": written, "known": ", ".join(MM_PER_UNIT)}))
    return MM_PER_UNIT[name]


def _number(match: re.Match[str], asked: str) -> float:
    """The number before the unit: a fraction, a mixed number, or decimals with point or comma."""
    if match["over"]:
        return _fraction(match, asked)
    number = match["number"]
    if _LIKE_THOUSANDS.fullmatch(number):
        raise Refusal(Problem("length-comma-unclear", {"text": asked}))
    return float(number.replace(",", "."))


def _fraction(match: re.Match[str], asked: str) -> float:
    under = int(match["under"])
    if under == 0:
        raise Refusal(Problem("length-not-understood", {"text": asked}))
    size = int(match["whole"] or 0) + int(match["over"]) / under
    return math.copysign(size, -1.0) if match["sign"] == "-" else size
