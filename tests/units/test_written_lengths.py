"""Lengths as a person writes and reads them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmsplit.messages import Refusal
from filmsplit.units import LengthSystem, format_length, parse_length_mm

# Source: the inch of 25.4 mm; common ways of writing lengths in a workshop.
WRITTEN = [
    ("12.5", 12.5),
    ("12,5", 12.5),
    (" 12.5 mm ", 12.5),
    ("12.5mm", 12.5),
    ("1/2 in", 12.7),
    ("1/2in", 12.7),
    ('0.5"', 12.7),
    ('.5"', 12.7),
    ("3/16in", 4.7625),
    ("3 / 16 inch", 4.7625),
    ('2 1/2"', 63.5),
    ("2-1/2 in", 63.5),
    ("-1/2 in", -12.7),
    ("-2 1/2 in", -63.5),
    ("1.5 cm", 15.0),
    ("0.2 m", 200.0),
    ("10 mil", 0.254),
    ("10 thou", 0.254),
    ("250 µm", 0.25),
    ("250 um", 0.25),
    ("7 Inches", 177.8),
    ("1000", 1000.0),
    ("0,125 mm", 0.125),
    ("1/2", 0.5),
]


@pytest.mark.parametrize(("text", "mm"), WRITTEN)
def test_reads(text: str, mm: float) -> None:
    assert parse_length_mm(text) == pytest.approx(mm, rel=1e-12)


def test_a_bare_number_is_in_the_unit_asked_for() -> None:
    assert parse_length_mm("3/16", unit="in") == pytest.approx(4.7625)
    assert parse_length_mm("4 mm", unit="in") == pytest.approx(4.0)


REFUSED = [
    ("", "length-not-understood"),
    ("twelve", "length-not-understood"),
    ("1/0 in", "length-not-understood"),
    ("1.2.3", "length-not-understood"),
    ("nan", "length-not-understood"),
    ("inf mm", "length-not-understood"),
    ("1e400", "length-not-understood"),
    ("12 furlong", "length-unit-unknown"),
    ("12 %", "length-unit-unknown"),
    ("1,250", "length-comma-unclear"),
    ("1" * 400, "length-not-understood"),
]


@pytest.mark.parametrize(("text", "slug"), REFUSED)
def test_refuses_with_a_reason(text: str, slug: str) -> None:
    with pytest.raises(Refusal) as caught:
        parse_length_mm(text)
    (problem,) = caught.value.problems
    assert problem.slug == slug
    assert problem.what
    assert problem.remedy


@given(text=st.text(max_size=80) | st.text(alphabet="0123456789./,- inm\"'", max_size=20))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        mm = parse_length_mm(text)
    except Refusal as refusal:
        mm, problems = 0.0, refusal.problems
    else:
        problems = ()
    assert abs(mm) < 1e16
    assert all(problem.slug.startswith("length-") for problem in problems)


@given(mm=st.floats(-5000, 5000), system=st.sampled_from(LengthSystem))
def test_what_is_written_reads_back(mm: float, system: LengthSystem) -> None:
    # Half the last decimal printed: 0.05 mm, or 0.0005 in = 0.0127 mm.
    last_digit_mm = {LengthSystem.METRIC: 0.05, LengthSystem.INCH: 0.0127}[system]
    assert abs(parse_length_mm(format_length(mm, system)) - mm) <= last_digit_mm + 1e-9


def test_writes_with_its_unit() -> None:
    # 60 mm roller: circumference 188.496 mm (geometry) = 7.42109 in.
    assert format_length(188.4956) == "188.5 mm"
    assert format_length(188.4956, LengthSystem.INCH) == "7.421 in"
    assert format_length(188.4956, decimals=3) == "188.496 mm"
    assert format_length(-0.01) == "0.0 mm"
