"""The trend and its crossing: exact cases by hand, and robustness against single bad readings."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from condition.histories import DRAWING, day, diameter, event, hardness, roller
from filmsplit.condition.forecast import Crossing, ageing, crossing, fails_before, level
from filmsplit.condition.lives import hardness_lives, shrink_lives
from filmsplit.condition.readings import HardnessReading, RollerHistory
from filmsplit.condition.trend import Trend, fit_trend
from filmsplit.condition.trend_terms import HARDNESS_HABITS, SHRINK_HABITS
from filmsplit.condition.words import EventKind
from filmsplit.press.words import Material

TODAY = day(730)


def _line(rate: float, *, id: str = "F1", start: float = 25.0, until: int = 730, every: int = 60) -> RollerHistory:
    """A roller that hardens along a straight line, read without error."""
    readings = tuple(hardness(n, start + rate * n / 365.25) for n in range(1, until, every))
    return roller(id=id, hardness=readings)


def _trend(*histories: RollerHistory) -> Trend:
    return fit_trend(hardness_lives(histories), HARDNESS_HABITS)


def _when(trend: Trend, id: str = "F1") -> Crossing:
    return crossing(trend, id, limit=10.0, today=TODAY)


def test_a_straight_line_is_carried_on() -> None:
    """10 points at 4 a year: two and a half years (arithmetic); the likely rate beforehand pulls it by little."""
    found = _when(_trend(_line(4.0)))
    assert found.median is not None
    assert (found.median - day(0)).days / 365.25 == pytest.approx(2.5, rel=0.06)
    assert found.low is not None
    assert found.high is not None
    assert found.low < found.median < found.high
    assert found.chance_by(found.low) == pytest.approx(0.1, abs=0.02)
    assert found.chance_by(found.high) == pytest.approx(0.9, abs=0.02)


def test_without_a_reading_there_is_what_is_likely_of_every_cover() -> None:
    """10 to 15 points over 3 to 5 years (common practice)."""
    bare = replace(_line(4.0), id="F2", hardness=())
    found = _when(_trend(_line(4.0), bare), "F2")
    assert found.readings == 0
    assert found.median is not None
    assert 2.0 < (found.median - day(0)).days / 365.25 < 4.0
    assert found.low is not None
    assert found.high is None or (found.high - found.low).days > 365


def test_covers_of_one_compound_speak_for_each_other() -> None:
    """A cover read twice is forecast from those like it, and not from those of another compound."""
    young = replace(_line(6.0, id="young", until=80, every=40))
    others = [_line(6.0, id=f"old {n}") for n in range(6)]
    strange = [
        replace(each, drawing=replace(DRAWING, compound=Material.POLYURETHANE), id=f"strange {each.id}")
        for each in others
    ]

    def late(trend: Trend) -> float:
        found = _when(trend, "young")
        assert found.median is not None
        return (found.median - day(0)).days / 365.25

    assert late(_trend(young, *others)) == pytest.approx(10 / 6, rel=0.15)
    assert late(_trend(young, *strange)) > late(_trend(young, *others)) + 0.5


def test_one_blunder_hardly_moves_the_crossing() -> None:
    clean = _line(4.0)
    spoilt = list(clean.hardness)
    spoilt[-2] = hardness(600, 50.0)
    wrong = replace(clean, hardness=tuple(spoilt))
    a, b = _when(_trend(clean)).median, _when(_trend(wrong)).median
    assert a is not None
    assert b is not None
    # By least squares a reading 18 points off would bring it forward by about a year.
    assert abs((a - b).days) < 120


def test_a_new_reader_is_not_taken_for_hardening() -> None:
    """Another reader reads 3 points higher on every roller from one day on (1 to 2 is usual: common practice)."""
    before = [_line(3.0, id=f"R{n}") for n in range(8)]

    def handed_over(reading: HardnessReading) -> HardnessReading:
        if reading.on < day(400):
            return reading
        return replace(reading, reader="CD", values_shore_a=tuple(v + 3.0 for v in reading.values_shore_a))

    after = [replace(each, hardness=tuple(map(handed_over, each.hardness))) for each in before]
    rises = [level(_trend(*each), _trend(*each).life_of("R0"), TODAY).value for each in (before, after)]
    assert rises[0] == pytest.approx(6.0, abs=0.7)
    assert rises[1] - rises[0] < 1.5


def test_a_step_after_a_wash_change_is_a_step_and_not_a_rate() -> None:
    changed = event(400, EventKind.WASH_CHANGED)

    def stepped(reading: HardnessReading) -> HardnessReading:
        more = 3.0 if reading.on >= day(400) else 0.0
        return replace(reading, values_shore_a=tuple(v + more for v in reading.values_shore_a))

    lines = [_line(2.0, id=f"R{n}") for n in range(8)]
    known = [
        replace(each, hardness=tuple(map(stepped, each.hardness)), events=(*each.events, changed)) for each in lines
    ]
    found = _when(_trend(*known), "R0").median
    # 7 points to go at 2 a year after the step of 3 (arithmetic). Taken for a rate it would be 2.9 years.
    assert found is not None
    assert (found - day(0)).days / 365.25 == pytest.approx(3.5, abs=0.4)


def test_a_recover_begins_anew_and_the_old_life_still_speaks_for_the_compound() -> None:
    old = _line(5.0)
    fresh = replace(
        old, hardness=(*old.hardness, hardness(741, 26)), events=(*old.events, event(740, EventKind.RECOVERED))
    )
    found = crossing(_trend(fresh), "F1", limit=10.0, today=day(745))
    assert found.now.value == pytest.approx(0.0, abs=0.5)
    assert found.median is not None
    assert (found.median - day(740)).days / 365.25 == pytest.approx(2.0, rel=0.25)


def test_warm_summers_are_not_hardening() -> None:
    def warm(reading: HardnessReading) -> HardnessReading:
        off_k = 8.0 * np.sin(2 * np.pi * (reading.on - date(2024, 1, 8)).days / 365.25)
        return replace(
            reading,
            temperature_c=23.0 + off_k,
            values_shore_a=tuple(v - 0.25 * off_k for v in reading.values_shore_a),
        )

    lines = [_line(3.0, id=f"R{n}") for n in range(6)]
    swung = [replace(each, hardness=tuple(map(warm, each.hardness))) for each in lines]
    found, plain = _when(_trend(*swung), "R0").median, _when(_trend(*lines), "R0").median
    assert found is not None
    assert plain is not None
    assert abs((found - plain).days) < 60


def test_what_fails_before_exam_week() -> None:
    trend = _trend(_line(4.5, id="fast"), _line(1.0, id="slow"), _line(3.9, id="middling"))
    found = fails_before([_when(trend, each) for each in ("slow", "fast", "middling")], day(1000))
    assert [each.roller for each in found] == ["fast", "middling"]


def test_an_interval_may_be_open() -> None:
    assert _when(_trend(_line(0.1))).high is None


def test_diameters_shrink_towards_their_limit() -> None:
    readings = tuple(diameter(n, *[54.0 - 0.2 * n / 365.25] * 3) for n in range(1, 730, 60))
    trend = fit_trend(shrink_lives([roller(diameters=readings)]), SHRINK_HABITS)
    found = crossing(trend, "F1", limit=0.5, today=TODAY).median
    assert found is not None
    assert (found - day(0)).days / 365.25 == pytest.approx(2.5, rel=0.1)


def test_a_trend_needs_a_reading() -> None:
    with pytest.raises(ValueError, match="reading"):
        _trend(roller())


def test_rounds_settle() -> None:
    trend = _trend(*(_line(3.0 + 0.3 * n, id=f"R{n}") for n in range(4)))
    assert trend.settled


def test_the_course_for_a_picture_is_that_of_the_forecast() -> None:
    trend = _trend(_line(4.0))
    found, crossed = ageing(trend, "F1", until=TODAY), _when(trend)
    assert (found.course[0].on, found.course[-1].on) == (day(0), TODAY)
    assert found.course[0].value == 0.0
    assert found.course[-1].value == pytest.approx(crossed.now.value)
    assert found.course[-1].sigma == pytest.approx(crossed.now.sigma)
    # Read without error along 4 a year: a reader's bias aside, the readings rise by as much as the line (arithmetic).
    assert found.read[-1].value - found.read[0].value == pytest.approx(4.0 * 720 / 365.25, abs=0.01)


def test_a_warm_reading_is_brought_to_the_reference_temperature() -> None:
    """Rubber reads softer when warm (common practice), by 0.15 a kelvin (invented default): 10 K are 1.5 points."""
    line = _line(4.0)
    warm = replace(line.hardness[-1], temperature_c=33.0)
    pictured = ageing(_trend(replace(line, hardness=(*line.hardness[:-1], warm))), "F1", until=TODAY).read
    between = pictured[-1].value - pictured[-2].value
    assert between == pytest.approx(4.0 * 60 / 365.25 + 1.5, abs=0.01)
