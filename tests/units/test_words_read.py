"""Texts filled in for who reads inches and °F.

An inch is 25.4 mm exactly (international yard and pound, 1959); 0 and 100 °C are 32 and 212 °F by definition, so a
difference of 1 °C is one of 1.8 °F.
"""

from __future__ import annotations

import pytest

from filmsplit.messages import Problem, numbers_read, read_as, scale_read, unit_read
from filmsplit.messages.quantities import filled
from filmsplit.units.writing import LengthSystem, TemperatureSystem, UnitsRead

INCHES = UnitsRead(lengths=LengthSystem.INCH, temperatures=TemperatureSystem.FAHRENHEIT)


@pytest.mark.parametrize(
    ("text", "values", "there"),
    [
        ("{a_mm} mm", {"a_mm": 25.4}, "1.000 in"),
        ("{a_mm} mm", {"a_mm": "0.05"}, "0.0020 in"),
        ("{low} to {high} mm", {"low": "12.7", "high": "25.4"}, "0.500 to 1.000 in"),
        ("{a} × {b} mm across", {"a": 254, "b": 508}, "10.000 × 20.000 in across"),
        ("{widths} mm", {"widths": "25.4 / 50.8"}, "1.000 / 2.000 in"),
        ("Lay it 5 to 20 mm away", {}, "Lay it 0.2 to 0.79 in away"),
        ("{move} mm", {"move": "+2.54"}, "+0.1000 in"),
        ("zone {zone} is {width_mm} mm wide", {"zone": 3, "width_mm": 25.4}, "zone 3 is 1.000 in wide"),
        ("at {c} °C", {"c": 100}, "at 212 °F"),
        ("not at {c} ± {tolerance_c} °C", {"c": "20.0", "tolerance_c": "5.0"}, "not at 68 ± 9 °F"),
        (
            "{what}: {value} ± {sigma} {unit}",
            {"what": "run", "value": 100, "sigma": 10, "unit": "°C"},
            "run: 212 ± 18 °F",
        ),
        ("{unit}, {roller}: {mm} mm", {"unit": "A", "roller": "F1", "mm": 25.4}, "A, F1: 1.000 in"),
        ("stripes, {length_unit}", {}, "stripes, in"),
    ],
)
def test_a_quantity_is_the_same_in_other_units(text: str, values: dict[str, object], there: str) -> None:
    with read_as(INCHES):
        assert filled(text, values) == there


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("{n} N/mm", {"n": 3}),
        ("{n} dots/mm", {"n": 50}),
        ("{n} µm", {"n": 5}),
        ("{area} mm² of it", {"area": 9}),
        ("given as --stripe-mm 4", {}),
        ("{text} mm", {"text": "set by hand to 3"}),
        ("{remark}", {"remark": "opened by 2 mm, says the note"}),
        ("{given} {unit}", {"given": 7, "unit": "Shore A"}),
    ],
)
def test_what_is_no_length_and_what_people_wrote_stays(text: str, values: dict[str, object]) -> None:
    with read_as(INCHES):
        assert filled(text, values) == text.format_map(values)


def test_nobody_is_told_inches_who_did_not_ask() -> None:
    assert filled("{a_mm} mm at {c} °C, {length_unit}", {"a_mm": 25.4, "c": 20}) == "25.4 mm at 20 °C, mm"
    assert (numbers_read("4 / 4.5"), unit_read(), scale_read()) == ("4 / 4.5", "mm", 1.0)


def test_a_message_says_it_too() -> None:
    problem = Problem("diameter-far-off", {"mark": "F1", "given_mm": 25.4, "known_mm": 50.8})
    with read_as(INCHES):
        assert "1.000 in" in problem.what
    assert "25.4 mm" in problem.what
