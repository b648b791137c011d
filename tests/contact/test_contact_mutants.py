"""Laws of contact, each broken once on purpose by a trap known to catch people: a figure from outside must part."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from contact import test_bonded_cover as cover_checks
from contact import test_hardness as hardness_checks
from contact import test_stripes as stripe_checks
from filmsplit.contact import changes, curves, hardness, indentation, nip, rollers


def table() -> None:
    for half_width, expected in cover_checks.TABLE.items():
        cover_checks.test_table_of_the_bonded_cover(half_width, expected)


def hertz() -> None:
    cover_checks.test_hertz_by_hand()


def gent() -> None:
    for shore_a, mpa in hardness_checks.GENT.items():
        hardness_checks.test_gent(shore_a, mpa)


def unbonded(wave: np.ndarray[Any, np.dtype[np.float64]]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """A layer that slides on its core: (cosh 2w - 1)/(sinh 2w + 2w); Johnson, section 5.8."""
    fall = np.exp(-2 * wave)
    return np.asarray((1 + fall**2 - 2 * fall) / (1 - fall**2 + 4 * wave * fall))


def two_p_r(load: float, *, plane_modulus_mpa: float, radius_mm: float) -> float:
    return math.sqrt(2 * load * radius_mm / (math.pi * plane_modulus_mpa))


def natural(shore_a: float) -> float:
    return math.exp(0.0235 * shore_a - 0.6403)


def once_alpha(thickness_mm: float, *, warming_k: float, expansion_per_k: float) -> float:
    return expansion_per_k * warming_k * thickness_mm


def with_diameters(self: rollers.Pair) -> float:
    return 1 / (1 / self.a.diameter_mm + 1 / self.b.diameter_mm)


def one_radius(self: rollers.Pair) -> float:
    return self.a.diameter_mm / 2


MUTANTS: dict[str, tuple[Any, str, Any, Callable[[], None]]] = {
    "2 P R under the root": (cover_checks, "half_space_half_stripe_mm", two_p_r, hertz),
    "a cover that slides on its core": (indentation, "dent", unbonded, table),
    "the natural exponent in Ruess": (hardness, "ruess_mpa", natural, hardness_checks.test_ruess),
    "growth by alpha, not three": (
        changes,
        "thermal_growth_mm",
        once_alpha,
        stripe_checks.test_a_stripe_grows_when_the_press_warms_up,
    ),
    "diameters for radii": (
        rollers.Pair,
        "relative_radius_mm",
        property(with_diameters),
        stripe_checks.test_stripe_to_centre_distance,
    ),
    "the partner taken as flat": (
        rollers.Pair,
        "relative_radius_mm",
        property(one_radius),
        stripe_checks.test_stripe_to_centre_distance,
    ),
    "Gent a thousandth too stiff": (hardness, "gent_mpa", lambda s: hardness_checks.GENT[s] * 1.001, gent),
    "half the pressure's logarithm lost": (indentation, "_near_field", lambda _, terms: np.zeros(terms), table),
}


@pytest.fixture
def fresh_curves() -> Iterator[None]:
    curves.contact_curves.cache_clear()
    yield
    curves.contact_curves.cache_clear()


@pytest.mark.usefixtures("fresh_curves")
@pytest.mark.parametrize("name", MUTANTS)
def test_a_broken_law_is_noticed(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    where, what, broken, check = MUTANTS[name]
    check()
    curves.contact_curves.cache_clear()
    monkeypatch.setattr(where, what, broken)
    with pytest.raises(AssertionError):
        check()


@pytest.mark.usefixtures("fresh_curves")
def test_the_overlap_of_rigid_circles_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The trap of all setting tables: a^2/2R in place of the engagement."""
    solve = indentation.indent

    def overlapping(half_width: float, layers: Any = indentation.SINGLE) -> indentation.Indentation:
        return replace(solve(half_width, layers), approach=half_width**2 / 2)

    monkeypatch.setattr(curves, "indent", overlapping)
    with pytest.raises(AssertionError):
        stripe_checks.test_stripe_to_centre_distance()


@pytest.mark.usefixtures("fresh_curves")
def test_young_s_modulus_in_place_of_the_plane_one_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without Poisson's ratio the load is three quarters: a pair of real size by hand from the table at a/h 0.2."""
    pair = stripe_checks.pair()

    def check() -> None:
        found = nip.squeeze(pair.nip, nip.Known.STRIPE, 4.0)
        young = hardness.Correlation.GENT.modulus_mpa(28.0)
        assert found.load_n_per_mm == pytest.approx(0.032696 * young / 0.75 * 100 / (1 / (1 / 25 + 1 / 30)), rel=1e-4)

    check()
    monkeypatch.setattr(nip, "POISSON", 0.0)
    with pytest.raises(AssertionError):
        check()


@pytest.mark.parametrize("answer", ["load", "approach", "peak"])
def test_an_unresolved_solution_never_becomes_a_curve(answer: str, monkeypatch: pytest.MonkeyPatch) -> None:
    solve = indentation.indent
    monkeypatch.setattr(curves, "indent", lambda c, layers: replace(solve(c, layers), **{answer: float("nan")}))
    curves.contact_curves.cache_clear()
    with pytest.raises(ArithmeticError):
        curves.contact_curves(indentation.SINGLE)
