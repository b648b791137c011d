"""The table of limits: every row has its source, and a bad row of the shop's own is refused by name."""

from __future__ import annotations

from pathlib import Path

import pytest

from filmsplit.condition.limits import LimitRow
from filmsplit.condition.words import ArrivalTest, Basis, EventKind, Measure
from filmsplit.formats.care_table_file import loads_care_table
from filmsplit.library.roller_limits import care_table, usual_table
from filmsplit.messages import Refusal
from filmsplit.press.words import Role

ROW = '[[limit]]\nmeasure = "run-out"\nwatch = 0.02\nact = 0.04\nbasis = "press manual"\nsource = "page 7"\n'


def test_every_measure_has_a_limit_and_every_row_a_source() -> None:
    table = usual_table()
    assert {row.measure for row in table.limits} == set(Measure)
    assert {row.test for row in table.arrivals} == set(ArrivalTest)
    rows = (*table.limits, *table.arrivals, *table.intervals)
    assert all(row.source and row.basis is Basis.COMMON_PRACTICE for row in rows)


@pytest.mark.parametrize(
    ("measure", "role", "low", "high"),
    [
        (Measure.HARDNESS_RISE, Role.FORM, 10, 15),  # +10 to +15 over life is usual (common practice)
        (Measure.RUN_OUT, Role.FORM, 0.05, 0.1),  # repair from 0.08 on a form roller (common practice)
        (Measure.SHRINK, Role.RIDER, 0.5, 1.0),  # 0.5 to 1.0 mm or the adjuster's end (common practice)
    ],
)
def test_limits_lie_in_the_band_of_the_trade(measure: Measure, role: Role, low: float, high: float) -> None:
    found = usual_table().limit(measure, role=role)
    assert isinstance(found, LimitRow)
    assert low <= found.act <= high


def test_weekly_monthly_and_yearly_duties_are_there() -> None:
    days = {row.task: row.days for row in usual_table().intervals_of("heron")}
    # Common practice: daily wash-up, weekly descale, deglaze every 2 to 4 weeks, covers every 4 to 8 weeks.
    assert days[EventKind.WASHED] == 1
    assert days[EventKind.DESCALED] == 7
    assert 14 <= (days[EventKind.DEGLAZED] or 0) <= 28
    assert 28 <= (days[EventKind.COVER_CHANGED] or 0) <= 56


def test_the_shops_own_rows_go_before(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text(ROW, encoding="utf-8")
    found = care_table(own).limit(Measure.RUN_OUT, role=Role.FORM)
    assert found is not None
    assert (found.act, found.source) == (0.04, "page 7")


@pytest.mark.parametrize(
    ("text", "slug"),
    [
        ("[[limit", "care-table-not-toml"),
        ("[[limits]]\n", "care-table-unknown"),
        (ROW.replace("act", "acts"), "care-table-missing"),
        (ROW.replace("0.04", "0.01"), "care-table-watch-after-act"),
        (ROW.replace("0.04", "-1"), "care-table-not-a-value"),
        (ROW.replace("0.04", "nan"), "care-table-not-a-value"),
        (ROW.replace("0.04", "true"), "care-table-not-a-value"),
        (ROW.replace("run-out", "runout"), "care-table-not-a-value"),
        (ROW.replace('"page 7"', "7"), "care-table-not-a-value"),
    ],
)
def test_a_bad_row_is_refused_by_name(text: str, slug: str) -> None:
    with pytest.raises(Refusal) as refused:
        loads_care_table(text, name="own.toml")
    assert slug in {problem.slug for problem in refused.value.problems}
    assert all("own.toml" in problem.what for problem in refused.value.problems)
