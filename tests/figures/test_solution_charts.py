"""Fountain solution drawn: every reading has its ring where the axes say, every batch its own line. Geometry."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from filmsplit.condition.solution import Sample, Where, rises_of
from filmsplit.condition.titration import Dosed, titration_line
from filmsplit.figures.solution import draw_rises, draw_titration
from filmsplit.units.conductivity import ConductivitySystem

DAY = date(2026, 5, 4)
MHO = ConductivitySystem.MICROMHO
LINE = titration_line([Dosed(dose_percent=float(dose), us_per_cm=310.0 + 380.0 * dose) for dose in range(5)])


def sample(days: int, us_per_cm: float, *, fresh: bool = False) -> Sample:
    return Sample(
        day=DAY + timedelta(days=days),
        press="heron",
        where=Where.TANK if fresh else Where.PAN,
        fresh=fresh,
        us_per_cm=us_per_cm,
        number=days + 1,
    )


TWO_BATCHES = rises_of(
    [
        sample(0, 1400.0, fresh=True),
        sample(1, 1500.0),
        sample(2, 1600.0),
        sample(3, 1400.0, fresh=True),
        sample(4, 1450.0),
        sample(5, 1550.0),
    ]
)


def rings(svg: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg)]


def test_rings_stand_evenly_by_day_and_by_rise() -> None:
    """One day and 100 µS/cm are the same length everywhere on a plot."""
    found = rings(draw_rises(TWO_BATCHES, written=MHO).svg)
    assert len(found) == 4
    (x1, y1), (x2, y2), (x4, y4), (x5, y5) = found
    assert x4 - x2 == pytest.approx(2 * (x2 - x1), abs=0.02)
    assert x5 - x4 == pytest.approx(x2 - x1, abs=0.02)
    assert y1 - y2 == pytest.approx(y4 - y5, abs=0.02)
    assert y1 - y2 == pytest.approx(2 * (y4 - y1), abs=0.02)


def test_a_new_batch_begins_a_new_line() -> None:
    """Seen in the drawing: no line leads from the last ring of a batch to the first of the next."""
    svg = draw_rises(TWO_BATCHES, written=MHO).svg
    (x2, y2), (x4, y4) = rings(svg)[1:3]
    assert f"{x2:g} {y2:g}L{x4:g} {y4:g}" not in svg
    (x1, y1) = rings(svg)[0]
    assert f"{x1:g} {y1:g}L{x2:g} {y2:g}" in svg


def test_words_and_axes_are_in_the_unit_of_the_reader() -> None:
    for drawn in (draw_rises(TWO_BATCHES, written=MHO), draw_titration(LINE, fresh_us_per_cm=1450.0, written=MHO)):
        assert "µmho/cm" in drawn.alt
        assert "µS" not in drawn.svg


def test_the_dose_is_read_off_at_the_line() -> None:
    """1450 lies at 3 %: the filled ring stands on the ring of that reading."""
    drawn = draw_titration(LINE, fresh_us_per_cm=1450.0, written=MHO)
    *readings, dose = rings(drawn.svg)
    assert dose == pytest.approx(readings[3], abs=0.02)
    assert "holds 3.0 %" in drawn.alt
    assert len(rings(draw_titration(LINE, fresh_us_per_cm=None, written=MHO).svg)) == 5


def test_nothing_is_drawn_of_nothing() -> None:
    with pytest.raises(ValueError, match="nothing"):
        draw_rises((), written=MHO)
