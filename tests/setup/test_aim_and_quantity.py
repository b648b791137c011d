"""Aims and amounts of ink against published figures and arithmetic."""

from __future__ import annotations

import math

import numpy as np
import pytest

from filmsplit.ink.density import DensityCurve, fit_density_curve, printed_area, tint_density
from filmsplit.messages import Refusal
from filmsplit.setup.aim import FilmAim, SolidAim, TintAim, curve_per_um, density_of, film_for
from filmsplit.setup.quantity import ink_need, printed_kg

CURVE = DensityCurve(1.9, 1.2)


def test_a_film_is_its_own_aim() -> None:
    assert film_for(FilmAim(film_um=0.9)) == 0.9


def test_solid_density_by_tollenaar_ernst() -> None:
    """D = 1.9 (1 - exp(-1.2 x 0.9)), turned round by hand."""
    density = 1.9 * (1 - math.exp(-1.2 * 0.9))
    assert film_for(SolidAim(density=density, curve=CURVE)) == pytest.approx(0.9)
    assert density_of(0.9, CURVE) == pytest.approx(density)


def test_constants_of_a_shop_per_gram_become_constants_per_micron() -> None:
    """1.2 g/m2 of an ink of 1.05 g/cm3 is 1.2/1.05 um. Data: a public discussion of newsprint ink (memory)."""
    fitted = fit_density_curve(np.array([1.17, 1.37, 1.46, 1.66, 2.05]), np.array([0.96, 1.04, 1.10, 1.16, 1.24]))
    per_um = curve_per_um(fitted, density_g_per_cm3=1.05)
    density = fitted.saturation * (1 - math.exp(-fitted.rate * 1.2))
    assert film_for(SolidAim(density=density, curve=per_um)) == pytest.approx(1.2 / 1.05)


@pytest.mark.parametrize("n", [1.0, 1.7])
def test_a_tint_asks_for_the_solid_under_it(n: float) -> None:
    """Murray, J. Franklin Inst. 221 (1936) 721, and Yule & Nielsen, TAGA 1951: put back, the tint reads the aim."""
    aim = TintAim(density=0.4, coverage=0.5, gain_at_half=0.15, curve=CURVE, n=n)
    solid = density_of(film_for(aim), CURVE)
    assert float(tint_density(printed_area(0.5, gain_at_half=0.15), solid, n=n)) == pytest.approx(0.4)


def test_a_tint_by_published_numbers() -> None:
    """An area of 62.15 % with a tint of 0.40 has a solid of 1.50 (Murray-Davies, worked example)."""
    aim = TintAim(density=0.40, coverage=0.62152, gain_at_half=0.0, curve=CURVE)
    assert density_of(film_for(aim), CURVE) == pytest.approx(1.50, abs=2e-3)


@pytest.mark.parametrize(
    ("aim", "slug"),
    [
        (SolidAim(density=1.9, curve=CURVE), "setup-density-beyond"),
        (TintAim(density=0.4, coverage=0.5, gain_at_half=0.0, curve=CURVE), "setup-tint-beyond"),
        (FilmAim(film_um=0.0), "setup-aim-nothing"),
    ],
)
def test_what_no_film_can_do_is_refused(aim: FilmAim | SolidAim | TintAim, slug: str) -> None:
    with pytest.raises(Refusal) as refused:
        film_for(aim)
    assert [problem.slug for problem in refused.value.problems] == [slug]
    assert "{" not in refused.value.problems[0].what


def test_ink_for_a_run() -> None:
    """5 000 sheets 320 x 450 mm, 15 % coverage, 1.4 g/m2: 0.1512 kg (arithmetic)."""
    image_mm2 = 0.15 * 320 * 450
    assert printed_kg(5000, image_mm2=image_mm2, film_um=1.4, density_g_per_cm3=1.0) == pytest.approx(0.1512)
    assert printed_kg(5000, image_mm2=image_mm2, film_um=1.0, density_g_per_cm3=1.4) == pytest.approx(0.1512)


def test_ink_at_hand_is_all_of_it() -> None:
    """0.1512 kg printed, 1.5e6 um mm2 x 1 g/cm3 = 1.5 g on the rollers of which 0.5 g are there, 0.2 kg, 0.05 kg."""
    need = ink_need(
        sheets=5000,
        sheet_um_mm2=0.15 * 320 * 450 * 1.4,
        stored_um_mm2=1.5e6,
        already_um_mm2=0.5e6,
        density_g_per_cm3=1.0,
        least_fill_kg=0.2,
        left_over_kg=0.05,
    )
    assert need.charge_kg == pytest.approx(0.001)
    assert need.total_kg == pytest.approx(0.1512 + 0.001 + 0.2 + 0.05)


def test_a_train_with_more_ink_than_needed_gives_none_back() -> None:
    need = ink_need(
        sheets=1, sheet_um_mm2=1.0, stored_um_mm2=1.0, already_um_mm2=2.0, density_g_per_cm3=1.0, least_fill_kg=0.0
    )
    assert need.charge_kg == 0
    with pytest.raises(ValueError, match="negative"):
        ink_need(sheets=-1, sheet_um_mm2=1.0, stored_um_mm2=1.0, density_g_per_cm3=1.0, least_fill_kg=0.0)
