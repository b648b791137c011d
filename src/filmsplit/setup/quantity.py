"""How much ink a job takes: printed, on the rollers, in the fountain, left over."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.simulation.grams import grams

KG_PER_G = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class InkNeed:
    """Ink by what becomes of it, kg. ``charge_kg`` is what the train still has to take up: 0 where it is charged."""

    printed_kg: float
    charge_kg: float
    fountain_kg: float
    left_over_kg: float

    @property
    def total_kg(self) -> float:
        """What has to be at hand."""
        return self.printed_kg + self.charge_kg + self.fountain_kg + self.left_over_kg


def printed_kg(sheets: int, *, image_mm2: float, film_um: float, density_g_per_cm3: float) -> float:
    """Ink on so many sheets: image area (solid) x film x density."""
    return sheets * grams(film_um * image_mm2, density_g_per_cm3=density_g_per_cm3) * KG_PER_G


def ink_need(  # noqa: PLR0913  (all named)
    *,
    sheets: int,
    sheet_um_mm2: float,
    stored_um_mm2: float,
    already_um_mm2: float = 0.0,
    density_g_per_cm3: float,
    least_fill_kg: float,
    left_over_kg: float = 0.0,
) -> InkNeed:
    """Ink for a run of ``sheets``, from what a settled sheet takes and what the settled train holds (film x area).

    ``already_um_mm2`` is what is on the rollers from the job before, if it is this ink. ``least_fill_kg`` is the
    least the fountain must hold to feed evenly; it stays behind, as does what is ordered to be left over.
    """
    numbers = (sheet_um_mm2, stored_um_mm2, already_um_mm2, least_fill_kg, left_over_kg, float(sheets))
    if min(numbers) < 0 or density_g_per_cm3 <= 0:
        raise ValueError("amounts of ink are not negative, and ink has a density")

    def kg(film_area_um_mm2: float) -> float:
        return grams(film_area_um_mm2, density_g_per_cm3=density_g_per_cm3) * KG_PER_G

    return InkNeed(
        printed_kg=sheets * kg(sheet_um_mm2),
        charge_kg=kg(max(0.0, stored_um_mm2 - already_um_mm2)),
        fountain_kg=least_fill_kg,
        left_over_kg=left_over_kg,
    )
