"""Lengths that are typed into a form of a job in the reader's unit, and kept in its address in mm.

An address can be sent to somebody who reads other units, so nothing in it may depend on who reads it: a form says which
of its fields hold inches, and they are millimetres before anything else looks at them.
"""

from __future__ import annotations

from collections.abc import Mapping

from filmsplit.messages import Refusal, scale_read
from filmsplit.units.reading import parse_length_mm
from filmsplit.units.writing import LengthSystem

IN_INCHES = "in_inches"
"""The field that names those in inches, blanks between."""
LENGTHS = frozenset(
    {
        "sheet_long",
        "sheet_wide",
        "gripper",
        "lead",
        "side",
        "step_down",
        "step_across",
        "stroke_low",
        "stroke_high",
        "stroke",
    }
)


def in_mm(told: Mapping[str, str]) -> dict[str, str]:
    """The fields with every length in mm. What is no length stays as it was typed, and is refused where it is read."""
    inches = LENGTHS & {*told.get(IN_INCHES, "").split()}
    kept = {name: text for name, text in told.items() if name != IN_INCHES}
    return {name: _mm(text) if name in inches else text for name, text in kept.items()}


def _mm(text: str) -> str:
    try:
        return f"{parse_length_mm(text, unit=LengthSystem.INCH.value):.6g}" if text else text
    except Refusal:
        return text


def as_typed(text: str) -> str:
    """A length of an address as the reader's form shows it; what is none as it is."""
    scale = scale_read()
    try:
        return text if scale == 1.0 else f"{float(text.replace(',', '.')) * scale:.4f}".rstrip("0").rstrip(".")
    except ValueError:
        return text


def reads_inches() -> bool:
    """Whether forms have their lengths in inches for whoever reads now."""
    return scale_read() != 1.0
