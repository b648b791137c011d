"""Conductivity as people write it. 1 mho is 1 siemens (the older name of the unit, BIPM SI Brochure, memory)."""

from __future__ import annotations

import pytest

from filmsplit.messages import Refusal
from filmsplit.units.conductivity import ConductivitySystem, format_conductivity, parse_conductivity_us_per_cm

MHO = ConductivitySystem.MICROMHO


@pytest.mark.parametrize(
    ("text", "us_per_cm"),
    [
        ("1450", 1450.0),
        (" 1450 µS/cm ", 1450.0),
        ("1450 uS", 1450.0),
        ("1450 umho/cm", 1450.0),
        ("1450 µmhos", 1450.0),
        ("1.45 mS/cm", 1450.0),
        ("1,45mS", 1450.0),
        ("310.5", 310.5),
    ],
)
def test_what_is_typed_is_understood(text: str, us_per_cm: float) -> None:
    assert parse_conductivity_us_per_cm(text) == pytest.approx(us_per_cm)
    assert parse_conductivity_us_per_cm(text, system=MHO) == pytest.approx(us_per_cm)


@pytest.mark.parametrize("text", ["", "abc", "-5", "1,450", "1450 ppm", "nan", "1e3", "1450 S", "9" * 40])
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(Refusal):
        parse_conductivity_us_per_cm(text)


def test_what_is_shown_carries_the_unit_of_the_reader() -> None:
    assert format_conductivity(1450.4) == "1450 µS/cm"
    assert format_conductivity(1450.0, MHO) == "1450 µmho/cm"
    assert format_conductivity(570.0, signed=True) == "+570 µS/cm"
    assert format_conductivity(-0.2) == "0 µS/cm"
