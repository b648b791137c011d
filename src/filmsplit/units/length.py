"""Lengths in the units a workshop meets. The inch is 25.4 mm exactly (international yard and pound, 1959)."""

from __future__ import annotations

MM_PER_INCH = 25.4
MIL_PER_INCH = 1000.0
UM_PER_MM = 1000.0


def inch_from_mm(mm: float) -> float:
    """Inches from millimetres."""
    return mm / MM_PER_INCH


def mm_from_inch(inch: float) -> float:
    """Millimetres from inches."""
    return inch * MM_PER_INCH


def mil_from_mm(mm: float) -> float:
    """Thousandths of an inch (mil, thou) from millimetres."""
    return mm / MM_PER_INCH * MIL_PER_INCH


def mm_from_mil(mil: float) -> float:
    """Millimetres from thousandths of an inch."""
    return mil / MIL_PER_INCH * MM_PER_INCH


def um_from_mil(mil: float) -> float:
    """Micrometres from thousandths of an inch: 1 mil is 25.4 µm."""
    return mil * MM_PER_INCH * UM_PER_MM / MIL_PER_INCH


def mil_from_um(um: float) -> float:
    """Thousandths of an inch from micrometres."""
    return um * MIL_PER_INCH / (MM_PER_INCH * UM_PER_MM)


def inch_from_um(um: float) -> float:
    """Inches from micrometres. A micrometre is *not* a millionth of an inch: it is 39 of them."""
    return um / (MM_PER_INCH * UM_PER_MM)


def um_from_inch(inch: float) -> float:
    """Micrometres from inches."""
    return inch * MM_PER_INCH * UM_PER_MM


def um_from_mm(mm: float) -> float:
    """Micrometres from millimetres."""
    return mm * UM_PER_MM


def mm_from_um(um: float) -> float:
    """Millimetres from micrometres."""
    return um / UM_PER_MM
