"""What the sheet should carry: a film, or the density that a solid or a tint should read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.density import DensityCurve, amount_for_density, printed_area, solid_density
from filmsplit.messages import Problem, Refusal

ASSUMED_CURVE = DensityCurve(2.0, 1.2)
"""Constants per um where nobody knows the ink's own: 1 um reads 1.4 (common practice), no solid reads 2 (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmAim:
    """A film on the image, um."""

    film_um: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SolidAim:
    """A solid density net of paper, with the constants of this ink on this stock (rate per um)."""

    density: float
    curve: DensityCurve


@dataclass(frozen=True, slots=True, kw_only=True)
class TintAim:
    """A density net of paper of a tint; ``gain_at_half`` is the gain at 50 %, ``n`` that of Yule and Nielsen."""

    density: float
    coverage: float
    gain_at_half: float
    curve: DensityCurve
    n: float = 1.0


Aim = FilmAim | SolidAim | TintAim


def curve_per_um(curve: DensityCurve, *, density_g_per_cm3: float) -> DensityCurve:
    """Constants fitted per g/m2 as constants per um: 1 um of ink weighs its density in g/m2."""
    return DensityCurve(curve.saturation, curve.rate * density_g_per_cm3, curve.rms)


def film_for(aim: Aim) -> float:
    """Film in um that meets the aim; :class:`Refusal` where no film does."""
    if isinstance(aim, FilmAim):
        return _positive(aim.film_um)
    density = aim.density if isinstance(aim, SolidAim) else _solid_of(aim)
    curve = aim.curve
    film_um = float(amount_for_density(density, saturation=curve.saturation, rate=curve.rate))
    if not np.isfinite(film_um):
        raise Refusal(Problem("setup-density-beyond", {"density": density, "saturation": curve.saturation}))
    return _positive(film_um)


def density_of(film_um: float, curve: DensityCurve) -> float:
    """Density net of paper of a solid of this film."""
    return float(solid_density(film_um, saturation=curve.saturation, rate=curve.rate))


def _solid_of(aim: TintAim) -> float:
    """The solid under the tint: Murray-Davies (or Yule-Nielsen) turned round for the solid."""
    area = float(printed_area(aim.coverage, gain_at_half=aim.gain_at_half))
    light = 1.0 - -np.expm1(-np.log(10.0) * aim.density / aim.n) / max(area, 1e-300)
    if light <= 0:
        raise Refusal(Problem("setup-tint-beyond", {"density": aim.density, "area_percent": 100 * area}))
    return float(-aim.n * np.log10(light))


def _positive(film_um: float) -> float:
    if film_um <= 0:
        raise Refusal(Problem("setup-aim-nothing"))
    return film_um
