"""Laws of ink: published figures, and what must hold for every one of them."""

from __future__ import annotations

import numpy as np
import pytest

from filmsplit.ink.density import (
    amount_for_density,
    dot_area,
    fit_density_curve,
    printed_area,
    solid_density,
    tint_density,
)
from filmsplit.ink.feed import DUCTOR_SUPPLY, FLUX_SUPPLY, fountain_supply
from filmsplit.ink.splitting import film_ratio, imperfect_split, plate_split, split, volume_share
from filmsplit.ink.transfer import FixedShare, WalkerFetsko, walker_fetsko

FILMS = np.linspace(0.0, 7.0, 15)
SHARES = (0.3, 0.5, 0.7)


@pytest.mark.parametrize(("ratio", "films"), [(1.05, 1.03222), (1.10, 1.06391), (2.0, 1.56917), (1.0, 1.0)])
def test_films_leave_a_slipping_nip_in_the_published_ratio(ratio: float, films: float) -> None:
    """(speed ratio)^0.65: Coyle, Macosko & Scriven, J. Fluid Mech. 171 (1986) 183-207; printed to five decimals."""
    assert film_ratio(ratio) == pytest.approx(films, abs=5e-6)


@pytest.mark.parametrize("ratio", [0.01, 0.3, 1.0, 1.1, 4.0])
def test_slip_conserves_volume_and_is_the_same_from_either_side(ratio: float) -> None:
    """Volume is film x speed; the films must leave in the ratio above (algebra)."""
    own = volume_share(ratio)
    assert own + volume_share(1 / ratio) == pytest.approx(1.0, abs=1e-15)
    assert (own / ratio) / (1 - own) == pytest.approx(film_ratio(ratio), rel=1e-14)


def test_measured_split_lies_within_the_band_on_the_even_split() -> None:
    """Measured 0.87 x (speed ratio)^0.65, Benkreira, Edwards & Wilkinson 1981 (memory): within 15 % at equal speed."""
    assert abs(0.87 / film_ratio(1.0) - 1) < 0.15


@pytest.mark.parametrize("share", SHARES)
def test_every_split_conserves_and_leaves_nothing_negative(share: float) -> None:
    """Ink is neither made nor lost in a nip (exact)."""
    a, b = np.meshgrid(FILMS, FILMS)
    for out_a, out_b in (split(a, b, share=share), imperfect_split(a, b, share=share, contact=np.full_like(a, 0.4))):
        assert np.allclose(out_a + out_b, a + b, rtol=1e-14, atol=0)
        assert min(out_a.min(), out_b.min()) >= 0
    for coverage in (0.0, 0.3, 1.0):
        plate = b * (coverage > 0)
        form, image = plate_split(a, plate, coverage=np.full_like(a, coverage), share=share)
        assert np.allclose(form + coverage * image, a + coverage * plate, rtol=1e-14, atol=1e-15)
        assert min(form.min(), image.min()) >= 0


def test_even_split_by_hand() -> None:
    """4 um and 2 um meet: both leave with 3; badly touching at 0.5: half way; on 25 % image the roller keeps 3.75."""
    assert split(4.0, 2.0) == (3.0, 3.0)
    assert imperfect_split(4.0, 2.0, contact=0.5) == (3.5, 2.5)
    assert plate_split(4.0, 2.0, coverage=0.25) == (3.75, 3.0)
    assert plate_split(4.0, 0.0, coverage=0.0) == (4.0, 0.0)
    assert split(1.0, 0.0, share=0.6) == (0.6, 0.4)


def test_feed_from_a_slow_and_from_a_fast_fountain_roller() -> None:
    """r = 1: (g + d)/2; r -> 0: d plus the metered volume g r; between: (g r + d)/(1 + r^1.65) (model, by algebra)."""
    assert 2.0 + fountain_supply(1.0).fed(2.0, 8.0) == pytest.approx(5.0, abs=1e-14)
    assert fountain_supply(1e-6).fed(2.0, 8.0) == pytest.approx(8e-6, rel=1e-3)
    assert 2.0 + fountain_supply(0.2).fed(2.0, 8.0) == pytest.approx((8 * 0.2 + 2) / (1 + 0.2**1.65), rel=1e-14)
    assert DUCTOR_SUPPLY.fed(2.0, 8.0) == 3.0
    assert FLUX_SUPPLY.fed(2.0, 8.0) == 8.0


@pytest.mark.parametrize(("x", "y"), [(1, 0.80850), (2, 1.48129), (10, 4.39057)])
def test_walker_fetsko_values(x: float, y: float) -> None:
    """k, b, f = 3, 2, 0.30; Walker & Fetsko, TAGA Proc. 1955 (equation from memory), to the five decimals given."""
    assert walker_fetsko(x, k=3, b=2, f=0.30) == pytest.approx(y, abs=5e-6)


def test_walker_fetsko_share_has_one_maximum_and_tends_to_f() -> None:
    """Shape as in the 1955 abstracts: the share taken rises, peaks once, and falls towards f."""
    x = np.geomspace(1e-3, 1e5, 4000)
    share = walker_fetsko(x, k=3, b=2, f=0.30) / x
    turns = np.flatnonzero(np.diff(np.sign(np.diff(share))))
    assert turns.size == 1
    assert 0 < turns[0] < 3998
    assert share[-1] == pytest.approx(0.30, rel=1e-4)
    assert np.all(share < 1)


def test_transfer_laws_take_films_in_micrometres() -> None:
    """1 um of ink of density 1.25 g/cm3 is 1.25 g/m2 (units)."""
    law = WalkerFetsko(k=3, b=2, f=0.3, density=1.25)
    assert law.taken_um(np.array([0.8])) * 1.25 == pytest.approx(0.80850, abs=5e-6)
    assert not law.is_linear
    assert FixedShare(tau=0.4).taken_um(np.array([2.0])) == pytest.approx(0.8)


def test_density_curve_fitted_to_newsprint_readings() -> None:
    """Five readings from a public pressroom discussion of newsprint ink; law Tollenaar & Ernst 1962 (memory)."""
    curve = fit_density_curve(np.array([1.17, 1.37, 1.46, 1.66, 2.05]), np.array([0.96, 1.04, 1.10, 1.16, 1.24]))
    assert curve.saturation == pytest.approx(1.479, abs=0.01)
    assert curve.rate == pytest.approx(0.905, abs=0.02)
    assert curve.rms <= 0.011


def test_density_curve_gives_back_its_own_constants() -> None:
    """Exact data from the law itself (algebra); the search stops at 1e-6."""
    x = np.array([0.4, 0.9, 1.6])
    curve = fit_density_curve(x, solid_density(x, saturation=1.8, rate=1.1))
    assert (curve.saturation, curve.rate) == pytest.approx((1.8, 1.1), rel=1e-6)
    assert amount_for_density(solid_density(x, saturation=1.8, rate=1.1), saturation=1.8, rate=1.1) == pytest.approx(x)
    assert amount_for_density(1.8, saturation=1.8, rate=1.1) == np.inf
    with pytest.raises(ValueError, match="two different"):
        fit_density_curve(np.array([1.0, 1.0]), np.array([0.9, 0.9]))


def test_tint_densities() -> None:
    """Murray, J. Franklin Inst. 221 (1936) 721; Yule & Nielsen, TAGA 1951; to the decimals given."""
    assert tint_density(0.5, 1.5) == pytest.approx(0.28751, abs=5e-6)
    assert tint_density(0.5, 1.0) == pytest.approx(0.25964, abs=5e-6)
    assert dot_area(0.40, 1.50) == pytest.approx(0.6215, abs=5e-5)
    assert dot_area(0.40, 1.50, n=1.7) == pytest.approx(0.4814, abs=5e-5)
    assert dot_area(tint_density(0.37, 1.4, n=1.7), 1.4, n=1.7) == pytest.approx(0.37, abs=1e-12)


def test_dot_gain_curve_is_largest_at_half_and_nothing_at_the_ends() -> None:
    """c + 4 g c (1 - c) (definition)."""
    assert printed_area(np.array([0.0, 0.5, 1.0]), gain_at_half=0.18) == pytest.approx([0.0, 0.68, 1.0])
