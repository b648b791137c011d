"""Gear sizes in both manners of counting: module in mm, diametral pitch in teeth per inch of pitch diameter."""

from __future__ import annotations

from filmsplit.units.length import MM_PER_INCH


def diametral_pitch_from_module(module_mm: float) -> float:
    """Teeth per inch of pitch diameter, from the module (mm of pitch diameter per tooth)."""
    return MM_PER_INCH / module_mm


def module_from_diametral_pitch(teeth_per_inch: float) -> float:
    """Module in mm, from teeth per inch of pitch diameter."""
    return MM_PER_INCH / teeth_per_inch
