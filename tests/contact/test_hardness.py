"""Hardness: published figures of the spring and of both correlations, and what is refused."""

from __future__ import annotations

import math

import pytest

from filmsplit.contact.hardness import Correlation, is_reliable, spring_n
from filmsplit.messages import Refusal


@pytest.mark.parametrize(("shore_a", "newton"), [(0, 0.550), (30, 2.800), (60, 5.050), (100, 8.050)])
def test_durometer_spring(shore_a: float, newton: float) -> None:
    """F = 0.55 + 0.075 S newton, type A: ASTM D2240 / ISO 48-4 (memory); exact."""
    assert spring_n(shore_a) == pytest.approx(newton, abs=1e-12)


@pytest.mark.parametrize(("shore_a", "reliable"), [(19.9, False), (20, True), (90, True), (90.1, False)])
def test_readings_outside_20_to_90_are_not_reliable(shore_a: float, reliable: bool) -> None:
    """ASTM D2240 (memory)."""
    assert is_reliable(shore_a) is reliable


GENT = {25: 0.9235, 30: 1.1424, 40: 1.6896, 60: 3.6051, 80: 9.3514}
"""Gent, Trans. IRI 34 (1958) 46; four decimals, 0.05 % asked."""


@pytest.mark.parametrize(("shore_a", "mpa"), GENT.items())
def test_gent(shore_a: float, mpa: float) -> None:
    assert Correlation.GENT.modulus_mpa(shore_a) == pytest.approx(mpa, abs=6e-5)


def test_ruess() -> None:
    """log10 E = 0.0235 S - 0.6403: 60 Shore A -> 5.884 MPa. With the natural exponent it would be 2.16."""
    found = Correlation.RUESS.modulus_mpa(60.0)
    assert found == pytest.approx(5.884, abs=6e-4)
    assert found / math.exp(0.0235 * 60 - 0.6403) > 2.7


@pytest.mark.parametrize(("shore_a", "ratio"), [(40, 1.18), (50, 1.40), (60, 1.63), (80, 1.86)])
def test_the_two_part_above_35(shore_a: float, ratio: float) -> None:
    """Ruess over Gent, to the two decimals given (the two formulas)."""
    assert Correlation.RUESS.modulus_mpa(shore_a) / Correlation.GENT.modulus_mpa(shore_a) == pytest.approx(
        ratio, abs=0.006
    )


def test_the_two_agree_at_20_to_35() -> None:
    """Within 10 % from 20 to 35, and further apart from 36 on (the formulas): so a statement names its own."""
    ratios = {s: Correlation.RUESS.modulus_mpa(s) / Correlation.GENT.modulus_mpa(s) for s in range(20, 81)}
    assert all(abs(ratios[s] - 1) < 0.10 for s in range(20, 36))
    assert all(ratios[s] - 1 > 0.10 for s in range(36, 81))
    assert {each.text for each in Correlation} == {"Gent 1958", "Ruess"}


@pytest.mark.parametrize("shore_a", [-0.1, 95.1, 100.0, math.nan, math.inf])
def test_off_the_scale_is_refused(shore_a: float) -> None:
    with pytest.raises(Refusal) as refused:
        Correlation.GENT.modulus_mpa(shore_a)
    assert [problem.slug for problem in refused.value.problems] == ["hardness-off-the-scale"]
