"""Conversions at the edge, against figures from outside and against Pint."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmsplit.press.gears import tooth_pitch_mm
from filmsplit.units import gears, ink, length, water


def test_a_micrometre_in_inches() -> None:
    # Source: SI and the inch of 25.4 mm (international yard and pound, 1959). Tolerance: half the last digit printed.
    assert length.inch_from_um(1.0) == pytest.approx(3.93701e-5, abs=0.5e-10)


def test_a_film_in_mil() -> None:
    # Source: arithmetic on the inch of 25.4 mm.
    assert length.um_from_mil(0.2) == pytest.approx(5.08, rel=1e-12)
    assert length.um_from_mil(0.4) == pytest.approx(10.16, rel=1e-12)


@pytest.mark.parametrize(("dh", "mmol_per_l", "ppm"), [(8.0, 1.43, 143), (12.0, 2.14, 214)])
def test_german_degrees_of_hardness(dh: float, mmol_per_l: float, ppm: float) -> None:
    # Source: 1 degree = 10 mg/L CaO (DIN 38409-6, memory), molar masses. Tolerance: half the last digit printed.
    assert water.mmol_per_l_from_dh(dh) == pytest.approx(mmol_per_l, abs=0.005)
    assert water.ppm_caco3_from_dh(dh) == pytest.approx(ppm, abs=0.5)


def test_ink_mileage() -> None:
    # Source: arithmetic on the pound of 453.59237 g and the inch of 25.4 mm. Tolerance: half the last digit printed.
    assert ink.g_per_m2_from_lb_per_100k_solids(30.0) == pytest.approx(2.256, abs=0.0005)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (68.0, 20.0)])
def test_temperatures(fahrenheit: float, celsius: float) -> None:
    # Source: definition of the Fahrenheit scale (ice and steam points; both scales meet at -40).
    assert water.celsius_from_fahrenheit(fahrenheit) == pytest.approx(celsius, abs=1e-12)
    assert water.fahrenheit_from_celsius(celsius) == pytest.approx(fahrenheit, abs=1e-12)


def test_gear_sizes() -> None:
    # Source: geometry: pitch = pi x module; module = 25.4 / diametral pitch. Tolerance: half the last digit printed.
    assert tooth_pitch_mm(4.0) == pytest.approx(12.566, abs=0.0005)
    assert tooth_pitch_mm(gears.module_from_diametral_pitch(10.0)) == pytest.approx(7.980, abs=0.0005)


def test_film_and_mass() -> None:
    # Source: SI: a film of 1 µm on 1 m² is 1 cm³.
    assert ink.g_per_m2_from_um(1.2, density_g_per_cm3=1.0) == pytest.approx(1.2)
    assert ink.um_from_g_per_m2(1.4, density_g_per_cm3=1.4) == pytest.approx(1.0)


# (ours, from, to) with the unit names of Pint, which serves as an independent oracle.
PINT = [
    (length.inch_from_mm, "mm", "inch"),
    (length.mm_from_inch, "inch", "mm"),
    (length.mil_from_mm, "mm", "thou"),
    (length.mm_from_mil, "thou", "mm"),
    (length.um_from_mil, "thou", "um"),
    (length.mil_from_um, "um", "thou"),
    (length.inch_from_um, "um", "inch"),
    (length.um_from_inch, "inch", "um"),
    (length.um_from_mm, "mm", "um"),
    (length.mm_from_um, "um", "mm"),
    (water.fahrenheit_from_celsius, "degC", "degF"),
    (water.celsius_from_fahrenheit, "degF", "degC"),
    (water.us_from_umho, "micromho", "microsiemens"),
    (water.umho_from_us, "microsiemens", "micromho"),
    (ink.lb_per_us_gallon_from_g_per_cm3, "g/cm**3", "lb/gallon"),
    (ink.g_per_cm3_from_lb_per_us_gallon, "lb/gallon", "g/cm**3"),
    (ink.lb_per_uk_gallon_from_g_per_cm3, "g/cm**3", "lb/imperial_gallon"),
    (ink.g_per_cm3_from_lb_per_uk_gallon, "lb/imperial_gallon", "g/cm**3"),
    (ink.g_per_m2_from_lb_per_100k_solids, "lb/mileage_area", "g/m**2"),
]


@pytest.fixture(scope="module")
def pint_convert() -> Callable[[float, str, str], float]:
    """Conversion by Pint, with the mho taught to it as the older name of the siemens."""
    import pint  # noqa: PLC0415  the oracle is slow to import

    registry = pint.UnitRegistry()
    registry.define("mho = siemens")
    registry.define("mileage_area = 100000 * 8.5 * 11 * inch**2")

    def convert(number: float, from_unit: str, to_unit: str) -> float:
        return float(registry.Quantity(number, from_unit).to(to_unit).magnitude)

    return convert


@pytest.mark.parametrize(("ours", "from_unit", "to_unit"), PINT)
def test_pint_agrees(
    ours: Callable[[float], float],
    from_unit: str,
    to_unit: str,
    pint_convert: Callable[[float, str, str], float],
) -> None:
    for number in (0.0, 0.37, 25.4, -40.0, 1234.5):
        # Tolerance: rounding only, both sides use exact constants.
        assert ours(number) == pytest.approx(pint_convert(number, from_unit, to_unit), rel=1e-12, abs=1e-10)


ROUND_TRIPS = [
    (length.mm_from_inch, length.inch_from_mm),
    (length.mm_from_mil, length.mil_from_mm),
    (length.um_from_mil, length.mil_from_um),
    (length.um_from_inch, length.inch_from_um),
    (water.celsius_from_fahrenheit, water.fahrenheit_from_celsius),
    (water.dh_from_mmol_per_l, water.mmol_per_l_from_dh),
    (water.mmol_per_l_from_ppm_caco3, water.ppm_caco3_from_mmol_per_l),
    (water.dh_from_ppm_caco3, water.ppm_caco3_from_dh),
    (ink.g_per_m2_from_lb_per_100k_solids, ink.lb_per_100k_solids_from_g_per_m2),
    (ink.g_per_cm3_from_lb_per_us_gallon, ink.lb_per_us_gallon_from_g_per_cm3),
]


@pytest.mark.parametrize(("there", "back"), ROUND_TRIPS)
@given(number=st.floats(-1e6, 1e6))
def test_there_and_back(there: Callable[[float], float], back: Callable[[float], float], number: float) -> None:
    assert math.isclose(back(there(number)), number, rel_tol=1e-12, abs_tol=1e-9)


@given(module_mm=st.floats(0.2, 50))
def test_module_and_diametral_pitch_are_each_other_s_inverse(module_mm: float) -> None:
    again = gears.module_from_diametral_pitch(gears.diametral_pitch_from_module(module_mm))
    assert again == pytest.approx(module_mm, rel=1e-12)
