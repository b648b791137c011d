"""The law of a bonded cover: published figures, its limits, a solver of another kind, and what a stripe is worth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from contact.by_elements import indent_by_elements
from filmsplit.contact.curves import CURVE_ERROR, LEAST_HALF_WIDTH, MOST_HALF_WIDTH, contact_curves
from filmsplit.contact.indentation import indent
from filmsplit.contact.layer import SINGLE, Layer, dent, stretch
from filmsplit.contact.limits import (
    half_space_half_stripe_mm,
    half_space_load_n_per_mm,
    half_space_peak_mpa,
    overlap_mm,
    thin_cover_engagement_mm,
    thin_cover_load_n_per_mm,
)

TABLE = {
    0.1: (0.0079343, 0.012738, 0.05051),
    0.2: (0.032696, 0.038227, 0.10410),
    0.5: (0.24494, 0.15226, 0.31439),
    1.0: (1.4949, 0.43834, 1.0012),
    2.0: (12.717, 1.3292, 4.604),
    5.0: (358.99, 6.1791, 56.88),
}
"""a/h -> P R/(E' h^2), d R/h^2, p0 R/(E' h): two independent solvers of the kernel of Meijers (1968), Jaffar (1993)."""
PAIRS = (
    SINGLE,
    (Layer(1.0, 0.5), Layer(1.0, 0.5)),
    (Layer(1.0, 0.3), Layer(4.0, 0.7)),
    (Layer(1.0, 0.9), Layer(20, 0.1)),
)
WIDTHS = np.geomspace(LEAST_HALF_WIDTH, MOST_HALF_WIDTH, 41)
E_UNIT = 0.75
"""Young's modulus where E' is 1: Poisson 0.5."""


@pytest.mark.parametrize(("half_width", "expected"), TABLE.items())
def test_table_of_the_bonded_cover(half_width: float, expected: tuple[float, float, float]) -> None:
    # Asked for to 0.5 %; the table is printed to four or five figures, so the solver is held to those.
    found = indent(half_width)
    assert found.resolved
    assert (found.load, found.approach, found.peak) == pytest.approx(expected, rel=6e-5)


def test_engagement_is_not_the_overlap_of_rigid_circles() -> None:
    """True engagement over a^2/2R: 2.55 at a/h 0.1, 1.22 at 0.5 (the same table), one third for a very thin cover."""
    assert indent(0.1).approach / overlap_mm(0.1, radius_mm=1.0) == pytest.approx(2.55, abs=0.005)
    assert indent(0.5).approach / overlap_mm(0.5, radius_mm=1.0) == pytest.approx(1.22, abs=0.005)
    thinner = [indent(c).approach / overlap_mm(c, radius_mm=1.0) - 1 / 3 for c in (5.0, 10.0, 20.0)]
    assert thinner[0] > thinner[1] > thinner[2] > 0
    assert thinner[2] / thinner[1] == pytest.approx(0.5, abs=0.1), "falls like h/a"


@pytest.mark.parametrize(("half_width", "load", "engagement"), [(10.0, 1.960, 1.263), (20.0, 1.420, 1.138)])
def test_thin_cover_limit(half_width: float, load: float, engagement: float) -> None:
    """P/(2Ea^5/45Rh^3) and d/(a^2/6R): limits of Johnson, Contact Mechanics, section 5.8; two solvers."""
    found = indent(half_width)
    thin = thin_cover_load_n_per_mm(half_width, modulus_mpa=E_UNIT, thickness_mm=1.0, radius_mm=1.0)
    assert found.load / thin == pytest.approx(load, rel=2e-3)
    assert found.approach / thin_cover_engagement_mm(half_width, radius_mm=1.0) == pytest.approx(engagement, rel=2e-3)


def test_excess_over_the_thin_cover_falls_like_thickness_over_stripe() -> None:
    """The excess halves as a/h doubles (row of the same table: 0.960 -> 0.420)."""
    excess = [
        indent(c).load / thin_cover_load_n_per_mm(c, modulus_mpa=E_UNIT, thickness_mm=1.0, radius_mm=1.0) - 1
        for c in (10.0, 20.0)
    ]
    assert 0.40 < excess[1] / excess[0] < 0.5


def test_thick_cover_limit() -> None:
    """(P/P_Hertz - 1)/(a/h)^2 tends to about 1.02 as a/h -> 0 (solver of the table); peak and load as Hertz there."""
    for c in (0.02, 0.01, 0.005):
        found = indent(c)
        hertz = half_space_load_n_per_mm(c, plane_modulus_mpa=1.0, radius_mm=1.0)
        assert (found.load / hertz - 1) / c**2 == pytest.approx(1.02, abs=0.01)
        assert found.peak == pytest.approx(half_space_peak_mpa(c, plane_modulus_mpa=1.0, radius_mm=1.0), rel=3 * c**2)


def test_hertz_by_hand() -> None:
    """P = 0.1515 N/mm, R = 31.579 mm, E' = 1.5232 MPa -> a = 2.000 mm, p0 = 0.0482 MPa (Johnson, section 4.2)."""
    half = half_space_half_stripe_mm(0.1515, plane_modulus_mpa=1.5232, radius_mm=31.579)
    peak = half_space_peak_mpa(half, plane_modulus_mpa=1.5232, radius_mm=31.579)
    assert half == pytest.approx(2.000, abs=5e-4)
    assert peak == pytest.approx(0.0482, abs=5e-5)
    assert 0.5 * np.pi * half * peak == pytest.approx(0.1515, rel=1e-12)


def test_roark_cylinder_on_flat() -> None:
    """Equal moduli, Poisson 0.3: whole stripe 2.15 sqrt(P D / E), recomputed 2.153. Roark's formulas (memory)."""
    together = 1.0 / (2.0 * (1.0 - 0.3**2))
    half = half_space_half_stripe_mm(1.0, plane_modulus_mpa=together, radius_mm=0.5)
    assert 2 * half == pytest.approx(2.153, abs=5e-4)


@pytest.mark.parametrize("layers", PAIRS)
@pytest.mark.parametrize("half_width", [0.05, 0.3, 1.0, 4.0])
def test_pressure_is_a_contact_pressure(half_width: float, layers: tuple[Layer, ...]) -> None:
    """Nowhere pulls, greatest in the middle, falls to the ends, adds up to the load (definitions)."""
    places = np.linspace(0.0, 1.0, 4001)
    found = indent(half_width, layers)
    pressure = found.pressure(places)
    assert np.all(np.diff(pressure) < 0)
    assert pressure[-1] == 0.0
    assert pressure[0] == pytest.approx(found.peak, rel=1e-12)
    assert 2 * half_width * np.trapezoid(pressure, places) == pytest.approx(found.load, rel=1e-5)


@pytest.mark.parametrize("layers", PAIRS)
def test_more_stripe_is_more_of_everything(layers: tuple[Layer, ...]) -> None:
    """Finite differences of load, engagement, peak and of their slopes have one sign (physics)."""
    found = [indent(float(c), layers) for c in np.linspace(0.05, 9.0, 60)]
    for values in ([one.load for one in found], [one.approach for one in found], [one.peak for one in found]):
        assert np.all(np.diff(values) > 0)
        assert np.all(np.diff(values, 2) > 0)


@pytest.mark.parametrize("layers", PAIRS)
def test_curves_are_as_good_as_they_say(layers: tuple[Layer, ...]) -> None:
    """Against the direct solver between the points they were fitted at."""
    curves = contact_curves(layers)
    solved = [indent(float(c), layers) for c in WIDTHS]
    for curve, name in ((curves.load, "load"), (curves.approach, "approach"), (curves.peak, "peak")):
        direct = np.array([getattr(one, name) for one in solved])
        assert np.abs(curve.at(WIDTHS) / direct - 1).max() < CURVE_ERROR
        assert np.abs(curve.where(curve.at(WIDTHS)) / WIDTHS - 1).max() < 1e-10
    for number, curve in enumerate(curves.stretches):
        direct = np.array([one.stretches[number] for one in solved])
        assert np.abs(curve.at(WIDTHS) / direct - 1).max() < CURVE_ERROR


@pytest.mark.parametrize("half_width", [0.3, 1.0, 3.0])
def test_finite_elements_agree(half_width: float) -> None:
    """A mesh of the layer, pressed with the pressure found, must take the shape of the parabola (second solver).

    The mesh knows nothing of kernels. Halving its elements moves the figures by less than 0.1 %; its Poisson ratio of
    0.4999 makes the widest stripe 0.3 % deeper. So half a per cent is held.
    """
    found = indent(half_width)
    meshed = indent_by_elements(half_width, found.pressure)
    assert meshed.approach == pytest.approx(found.approach, rel=5e-3)
    assert meshed.shape_error < 5e-3 * found.approach
    assert meshed.stretch == pytest.approx(found.stretches[0], rel=5e-3)


def test_two_equal_covers_are_one_of_half_the_stiffness() -> None:
    """By symmetry the surface between two equal covers stays where one pressing on a hard parabola would be."""
    one, two = indent(0.7), indent(0.7, (Layer(1.0, 0.5), Layer(1.0, 0.5)))
    assert (two.load, two.approach, two.peak) == pytest.approx((one.load, one.approach, one.peak), rel=1e-12)
    assert two.stretches[0] == two.stretches[1] == pytest.approx(0.5 * one.stretches[0], rel=1e-12)


def test_the_order_of_two_covers_does_not_matter() -> None:
    one, other = (indent(0.7, layers) for layers in (PAIRS[2], PAIRS[2][::-1]))
    assert (one.load, one.approach, one.peak) == pytest.approx((other.load, other.approach, other.peak), rel=1e-12)
    assert one.stretches == pytest.approx(other.stretches[::-1], rel=1e-12)


def test_a_stiff_second_cover_is_a_hard_partner() -> None:
    """Limit: as its share of the yielding goes to nothing, the two-cover law becomes the one-cover law."""
    one, two = indent(0.7), indent(0.7, (Layer(1.0, 1.0 - 1e-9), Layer(3.0, 1e-9)))
    assert (two.load, two.approach) == pytest.approx((one.load, one.approach), rel=1e-7)


def test_factors_of_the_layer() -> None:
    """Short waves see a half space, long ones a thin cover; a layer that keeps its volume (Johnson, section 5.8)."""
    short, long = np.array([25.0]), np.array([1e-3, 1e-2])
    assert dent(short)[0] == pytest.approx(1.0, abs=1e-12)
    assert stretch(short)[0] == pytest.approx(0.0, abs=1e-12)
    assert dent(long) == pytest.approx(2.0 / 3.0 * long**3, rel=3e-4)
    assert stretch(long) == pytest.approx(long**2, rel=3e-4)
    assert dent(np.array([0.02 - 1e-9]))[0] == pytest.approx(dent(np.array([0.02 + 1e-9]))[0], rel=1e-3)


def test_an_unresolved_contact_is_not_resolved() -> None:
    found = indent(1.0)
    assert not replace(found, load=float("nan")).resolved
    assert not replace(found, coefficients=np.array([1.0, 0.1, 1e-3, 1e-4])).resolved
