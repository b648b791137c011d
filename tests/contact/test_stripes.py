"""Stripes of real rollers: each of the four gives the others, and what moves a stripe moves it as it should."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmsplit.contact.changes import (
    CoverHeat,
    stripes_round_the_turn,
    swelling_mm,
    swollen,
    thermal_growth_mm,
    warmed,
)
from filmsplit.contact.hardness import Correlation
from filmsplit.contact.indentation import indent
from filmsplit.contact.nip import BondedCover, Known, Nip, squeeze, squeeze_many
from filmsplit.contact.rollers import Body, Pair, SoftCover, at_fixed_centres, centre_move_mm
from filmsplit.messages import Refusal


def pair(soft_mm: float = 50, hard_mm: float = 60, *, cover_mm: float = 10, shore_a: float = 28) -> Pair:
    cover = SoftCover(thickness_mm=cover_mm, hardness_shore_a=shore_a)
    return Pair(a=Body(diameter_mm=soft_mm, cover=cover), b=Body(diameter_mm=hard_mm))


@pytest.mark.parametrize(
    ("soft", "hard", "cover", "engagements", "move"),
    [
        (50, 60, 8, (0.162, 0.253, 0.354), 0.090),
        (50, 60, 10, (0.179, 0.280, 0.395), 0.101),
        (40, 50, 8, (0.199, 0.310, 0.434), 0.111),
        (60, 180, 10, (0.108, 0.170, 0.239), 0.061),
        (80, 100, 12, (0.118, 0.187, 0.264), 0.068),
    ],
)
def test_engagement_at_3_4_and_5_mm(
    soft: float, hard: float, cover: float, engagements: tuple[float, ...], move: float
) -> None:
    """A table worked out by a solver of its own, printed to 0.001 mm."""
    nip = pair(soft, hard, cover_mm=cover).nip
    found = [squeeze(nip, Known.STRIPE, stripe).engagement_mm for stripe in (3.0, 4.0, 5.0)]
    assert found == pytest.approx(engagements, abs=6e-4)
    assert centre_move_mm(nip, from_stripe_mm=3.0, to_stripe_mm=4.0) == pytest.approx(move, abs=6e-4)


def test_stripe_to_centre_distance() -> None:
    """50 on 60 mm, 10 mm cover: 3 -> 4 mm needs 0.1014 mm; 4 mm with 0.15 mm more engagement -> 5.293 (two solvers)."""
    nip = pair().nip
    assert centre_move_mm(nip, from_stripe_mm=3, to_stripe_mm=4) == pytest.approx(0.1014, abs=6e-5)
    at_4 = squeeze(nip, Known.STRIPE, 4.0).engagement_mm
    assert squeeze(nip, Known.ENGAGEMENT, at_4 + 0.15).stripe_mm == pytest.approx(5.293, abs=6e-4)


def test_run_out() -> None:
    """+-0.025 mm of run-out on the same: 3.766 ... 4.228 (two solvers); the mean place is the set one."""
    nip = pair().nip
    at_4 = squeeze(nip, Known.STRIPE, 4.0).engagement_mm
    angles = np.array([0.0, 90.0, 180.0, 270.0])
    found = stripes_round_the_turn(nip, engagement_mm=at_4, run_out_mm=0.05, angles_deg=angles)
    assert found == pytest.approx([4.228, 4.0, 3.766, 4.0], abs=6e-4)
    parted = stripes_round_the_turn(nip, engagement_mm=0.02, run_out_mm=0.05, angles_deg=angles)
    assert parted[2] == 0.0, "surfaces part on the low side"
    assert np.all(parted[[0, 1, 3]] > 0)


def test_heat_thickens_a_bonded_cover_by_three_alpha() -> None:
    """3 alpha dT h: 10 mm, 2e-4/K, 15 K -> 0.09 mm (Timoshenko & Goodier, memory); not alpha, nor 2 alpha."""
    assert thermal_growth_mm(10.0, warming_k=15.0, expansion_per_k=2e-4) == pytest.approx(0.09, abs=1e-12)
    assert swelling_mm(10.0, volume_part=0.02) == pytest.approx(0.2, abs=1e-12)


def test_a_stripe_grows_when_the_press_warms_up() -> None:
    """4.0 mm cold on 50/60 with 10 mm cover: about 4.8 mm 15 K warmer (worked out with the same growth elsewhere)."""
    cold = pair()
    at_4 = squeeze(cold.nip, Known.STRIPE, 4.0).engagement_mm
    warm = at_fixed_centres(cold, Pair(a=warmed(cold.a, warming_k=15.0), b=cold.b), engagement_mm=at_4)
    assert warm is not None
    assert warm.stripe_mm == pytest.approx(4.8, abs=0.05)


@pytest.mark.parametrize(("diameter_mm", "stripe"), [(+0.3, 5.3), (-0.2, 3.0)])
def test_a_stripe_follows_the_diameter(diameter_mm: float, stripe: float) -> None:
    """On the same pair 0.3 mm more diameter makes 5.3 mm of 4.0, 0.2 mm less makes 3.0 (to the tenth given)."""
    before = pair()
    after = Pair(a=before.a.grown(diameter_mm / 2), b=before.b)
    at_4 = squeeze(before.nip, Known.STRIPE, 4.0).engagement_mm
    found = at_fixed_centres(before, after, engagement_mm=at_4)
    assert found is not None
    assert found.stripe_mm == pytest.approx(stripe, abs=0.05)
    part = diameter_mm / 2 / 10.0
    assert swollen(before.a, volume_part=part) == after.a, "the same as swelling by that part of the volume"


def test_a_shrunk_roller_may_not_touch_at_all() -> None:
    before = pair()
    after = Pair(a=before.a.grown(-0.4), b=before.b)
    assert at_fixed_centres(before, after, engagement_mm=0.28) is None


def test_at_one_engagement_hardness_changes_the_load_and_not_the_stripe() -> None:
    """Load in proportion to E (linear elasticity), stripe the same; 38 instead of 28 Shore A: 1.5 x the load (Gent)."""
    soft, hard = (squeeze(pair(shore_a=s).nip, Known.STRIPE, 4.0) for s in (28.0, 38.0))
    gent = Correlation.GENT.modulus_mpa(38.0) / Correlation.GENT.modulus_mpa(28.0)
    assert hard.engagement_mm == pytest.approx(soft.engagement_mm, rel=1e-12)
    assert hard.load_n_per_mm / soft.load_n_per_mm == pytest.approx(gent, rel=1e-12)
    assert gent == pytest.approx(1.5, abs=0.02)


@given(
    stripe=st.floats(0.5, 12.0),
    cover=st.floats(1.0, 15.0),
    soft=st.floats(40.0, 120.0),
    hard=st.floats(30.0, 300.0),
    shore_a=st.floats(15.0, 80.0),
)
def test_any_one_gives_all_the_others(stripe: float, cover: float, soft: float, hard: float, shore_a: float) -> None:
    """There and back over each of the four; and the units of the direct solver (algebra)."""
    nip = pair(soft, hard, cover_mm=cover, shore_a=shore_a).nip
    found = squeeze(nip, Known.STRIPE, stripe)
    for known in Known:
        back = squeeze(nip, known, getattr(found, known.value))
        assert back.stripe_mm == pytest.approx(stripe, rel=1e-8)
        assert back.load_n_per_mm == pytest.approx(found.load_n_per_mm, rel=1e-7)
    direct = indent(stripe / 2 / cover)
    radius, modulus = nip.relative_radius_mm, nip.plane_modulus_mpa
    assert radius == pytest.approx(1 / (2 / soft + 2 / hard), rel=1e-12)
    assert found.load_n_per_mm == pytest.approx(direct.load * modulus * cover**2 / radius, rel=2e-6)
    assert found.engagement_mm == pytest.approx(direct.approach * cover**2 / radius, rel=2e-6)
    assert found.peak_mpa == pytest.approx(direct.peak * modulus * cover / radius, rel=2e-6)
    assert found.strains[0] == pytest.approx(direct.stretches[0] * cover / radius, rel=2e-6)


def test_many_at_once_are_the_same_as_one_by_one() -> None:
    random = np.random.default_rng(5)
    sizes = {
        "relative_radius_mm": random.uniform(8, 40, 50),
        "thickness_mm": random.uniform(3, 14, 50),
        "modulus_mpa": random.uniform(0.6, 4, 50),
    }
    for known, most in ((Known.STRIPE, 8.0), (Known.ENGAGEMENT, 0.5), (Known.LOAD, 1.0), (Known.PEAK, 0.2)):
        values = random.uniform(0.3, 1.0, 50) * most
        many = squeeze_many(known, values, **sizes)
        for i in range(50):
            cover = BondedCover(thickness_mm=sizes["thickness_mm"][i], modulus_mpa=sizes["modulus_mpa"][i])
            one = squeeze(Nip(relative_radius_mm=sizes["relative_radius_mm"][i], covers=(cover,)), known, values[i])
            assert one.stripe_mm == pytest.approx(many.stripe_mm[i], rel=1e-12)
            assert one.load_n_per_mm == pytest.approx(many.load_n_per_mm[i], rel=1e-12)


def test_many_at_once_leave_no_number_where_one_is_refused() -> None:
    sizes = {name: np.full(5, size) for name, size in (("relative_radius_mm", 14.0), ("thickness_mm", 10.0))}
    asked = np.array([4.0, -1.0, 0.0, np.nan, 500.0])
    many = squeeze_many(Known.STRIPE, asked, modulus_mpa=np.full(5, 1.0), **sizes)
    assert np.isfinite(many.load_n_per_mm).tolist() == [True, False, False, False, False]
    assert np.isfinite(many.stripe_mm).tolist() == [True, False, False, False, False]


def test_two_soft_rollers_share_one_pressure() -> None:
    """Two equal covers: the load of one cover of half the modulus; both are stretched alike (symmetry)."""
    cover = SoftCover(thickness_mm=9.0, hardness_shore_a=28.0)
    both = Pair(a=Body(diameter_mm=50, cover=cover), b=Body(diameter_mm=50, cover=cover))
    one = Pair(a=both.a, b=Body(diameter_mm=50))
    double, single = (squeeze(each.nip, Known.STRIPE, 4.0) for each in (both, one))
    assert double.load_n_per_mm == pytest.approx(single.load_n_per_mm / 2, rel=1e-9)
    assert double.strains[0] == pytest.approx(double.strains[1], rel=1e-9)


def test_warmth_softens_by_a_named_assumption_only() -> None:
    """Softening moves the load; without it the load of a warm roller at one stripe is that of the cold one (E same)."""
    body = pair().a
    stays = warmed(body, warming_k=15, heat=CoverHeat(softening_shore_a_per_k=0.0))
    softer = warmed(body, warming_k=15, heat=CoverHeat(softening_shore_a_per_k=0.1))
    assert stays.cover is not None
    assert softer.cover is not None
    assert stays.cover.hardness_shore_a == 28.0
    assert softer.cover.hardness_shore_a == pytest.approx(26.5)
    assert stays.diameter_mm == softer.diameter_mm


@pytest.mark.parametrize("known", Known)
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_what_is_no_size_is_refused(known: Known, value: float) -> None:
    with pytest.raises(Refusal) as refused:
        squeeze(pair().nip, known, value)
    assert refused.value.problems[0].slug == "squeeze-not-positive"


@pytest.mark.parametrize("stripe", [1e-3, 300.0])
def test_what_is_beyond_the_law_is_refused(stripe: float) -> None:
    with pytest.raises(Refusal) as refused:
        squeeze(pair().nip, Known.STRIPE, stripe)
    assert refused.value.problems[0].slug == "squeeze-beyond-the-law"


@pytest.mark.parametrize(
    ("made", "slug"),
    [
        (lambda: Pair(a=Body(diameter_mm=50), b=Body(diameter_mm=60)).nip, "nip-without-cover"),
        (lambda: pair(cover_mm=25.0).nip, "cover-fills-the-roller"),
        (lambda: pair(cover_mm=0.0).nip, "nip-size-not-positive"),
        (lambda: pair(soft_mm=-50.0, cover_mm=1.0).nip, "nip-size-not-positive"),
        (lambda: pair(hard_mm=math.nan).nip, "nip-size-not-positive"),
        (lambda: pair().a.grown(-10.0), "nip-size-not-positive"),
        (
            lambda: Nip(
                relative_radius_mm=14.0,
                covers=(BondedCover(thickness_mm=0.4, modulus_mpa=1), BondedCover(thickness_mm=10, modulus_mpa=1)),
            ),
            "covers-too-unlike",
        ),
    ],
)
def test_impossible_pairs_are_refused(made, slug: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refusal) as refused:
        made()
    assert refused.value.problems[0].slug == slug
