"""Ink on an area, its film and its density, in the units of ink tins and mileage tables."""

from __future__ import annotations

from filmsplit.units.length import MM_PER_INCH

GRAM_PER_POUND = 453.59237
"""Exact (international yard and pound, 1959)."""

LITRE_PER_US_GALLON = 231.0 * MM_PER_INCH**3 / 1e6
"""A US gallon is 231 cubic inches, exactly."""

LITRE_PER_UK_GALLON = 4.54609
"""Exact (UK Weights and Measures Act 1985, memory)."""

MILEAGE_SHEETS = 100_000
MILEAGE_SHEET_INCHES = (8.5, 11.0)

_MILEAGE_AREA_M2 = MILEAGE_SHEETS * MILEAGE_SHEET_INCHES[0] * MILEAGE_SHEET_INCHES[1] * (MM_PER_INCH / 1000.0) ** 2


def g_per_m2_from_lb_per_100k_solids(lb: float) -> float:
    """Ink in g/m², from pounds for 100 000 solid sheets of 8.5 × 11 in (the usual mileage rule)."""
    return lb * GRAM_PER_POUND / _MILEAGE_AREA_M2


def lb_per_100k_solids_from_g_per_m2(g_per_m2: float) -> float:
    """Pounds for 100 000 solid sheets of 8.5 × 11 in, from g/m²."""
    return g_per_m2 * _MILEAGE_AREA_M2 / GRAM_PER_POUND


def g_per_m2_from_um(film_um: float, *, density_g_per_cm3: float) -> float:
    """Mass on an area, from film and density: 1 µm of 1 g/cm³ is 1 g/m²."""
    return film_um * density_g_per_cm3


def um_from_g_per_m2(g_per_m2: float, *, density_g_per_cm3: float) -> float:
    """Film, from mass on an area and density."""
    return g_per_m2 / density_g_per_cm3


def lb_per_us_gallon_from_g_per_cm3(g_per_cm3: float) -> float:
    """Density in pounds to the US gallon."""
    return g_per_cm3 * 1000.0 * LITRE_PER_US_GALLON / GRAM_PER_POUND


def g_per_cm3_from_lb_per_us_gallon(lb_per_gallon: float) -> float:
    """Density in g/cm³ (kg/L), from pounds to the US gallon."""
    return lb_per_gallon * GRAM_PER_POUND / (1000.0 * LITRE_PER_US_GALLON)


def lb_per_uk_gallon_from_g_per_cm3(g_per_cm3: float) -> float:
    """Density in pounds to the UK (imperial) gallon."""
    return g_per_cm3 * 1000.0 * LITRE_PER_UK_GALLON / GRAM_PER_POUND


def g_per_cm3_from_lb_per_uk_gallon(lb_per_gallon: float) -> float:
    """Density in g/cm³ (kg/L), from pounds to the UK (imperial) gallon."""
    return lb_per_gallon * GRAM_PER_POUND / (1000.0 * LITRE_PER_UK_GALLON)
