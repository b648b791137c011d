"""The ink budget in grams: fed, printed, washed off and stored, each summed by itself."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.simulation.march import Marched

GRAM_PER_UM_MM2 = 1e-6
"""A film of 1 um on 1 mm2 is 1e-6 cm3: that many grams for an ink of 1 g/cm3."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """Ink over ``sheets`` turns of the plate. ``gap_g`` is what does not add up: rounding, if no ink is lost."""

    sheets: int
    fed_g: float
    printed_g: float
    stored_before_g: float
    stored_after_g: float
    washed_g: float = 0.0

    @property
    def gap_g(self) -> float:
        """Fed less printed less washed off less the change of what is stored."""
        return self.fed_g - self.printed_g - self.washed_g - (self.stored_after_g - self.stored_before_g)

    @property
    def fed_per_sheet_g(self) -> float:
        return self.fed_g / self.sheets

    @property
    def printed_per_sheet_g(self) -> float:
        return self.printed_g / self.sheets


def grams(film_area_um_mm2: float, *, density_g_per_cm3: float) -> float:
    """Mass of ink given as film x area."""
    return film_area_um_mm2 * GRAM_PER_UM_MM2 * density_g_per_cm3


def budget_of(marched: Marched, *, density_g_per_cm3: float) -> Budget:
    """The budget of one march."""
    unit = grams(1.0, density_g_per_cm3=density_g_per_cm3)
    return Budget(
        sheets=marched.fed.shape[0],
        fed_g=marched.fed_um_mm2 * unit,
        printed_g=marched.printed_um_mm2 * unit,
        stored_before_g=marched.stored_before_um_mm2 * unit,
        stored_after_g=marched.stored_after_um_mm2 * unit,
    )
