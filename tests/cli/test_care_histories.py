"""What the records say becomes what verdicts and forecasts are made of: rounds, offsets, changes of wash, lives."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.actions.care_histories import ShopHistory, shop_history
from filmsplit.condition.words import EventKind, Grade
from filmsplit.records.kinds import GRADES
from filmsplit.records.store import Store

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> ShopHistory:
    """A shop with a round in two parts, a durometer that reads 2 too high, another wash, a regrind."""
    path = tmp_path / "shop.records"
    monkeypatch.setenv("FILMSPLIT_RECORDS", str(path))
    for line in (
        "roller register heron --on 2025-01-02",
        "instrument add D1 durometer --offset 2 --uncertainty 0.5 --on 2025-01-02",
        "reading add hardness heron:F1 28 29 30 --at operator --with D1 --by Kim --on 2025-02-01",
        "reading add hardness heron:F1 30 31 32 --at gear --with D1 --by Kim --on 2025-02-01",
        "reading add regrind heron:F1 53.6 --on 2025-03-01",
        "reading add stripe heron:plate/F1 3.5 3.6 3.4 --on 2025-03-02",
        "reading add wash-up heron --product mild --on 2025-03-03",
        "reading add wash-up heron --product Mild --on 2025-03-04",
        "reading add wash-up heron --product strong --on 2025-03-05",
    ):
        done = run(capsys, *line.split())
        assert done.code == 0, done.err
    with Store.at(path).read() as connection:
        return shop_history(connection, date(2025, 4, 1))


def test_a_round_in_parts_is_one_round_without_the_offset_of_its_instrument(told: ShopHistory) -> None:
    first = next(each for each in told.rollers if each.id == "heron-F1")
    assert [each.values_shore_a for each in first.hardness] == [(26.0, 27.0, 28.0, 28.0, 29.0, 30.0)]
    assert first.hardness[0].reader == "Kim"


def test_another_wash_is_an_event_of_every_roller_and_a_capital_is_none(told: ShopHistory) -> None:
    for each in told.of_press("heron"):
        assert [event.on for event in each.events if event.kind is EventKind.WASH_CHANGED] == [date(2025, 3, 5)]


def test_stripes_regrinds_and_wash_ups_reach_the_board(told: ShopHistory) -> None:
    first = next(each for each in told.rollers if each.id == "heron-F1")
    assert first.stripes[0].partner == "plate"
    assert first.last(EventKind.REGROUND) == date(2025, 3, 1)
    assert first.diameters[0].mean_mm == pytest.approx(53.6)
    assert sum(event.kind is EventKind.WASHED for event in told.log("heron").events) == 3
    assert told.log("dipper").rollers == ()


def test_every_look_the_records_know_is_known_here() -> None:
    assert set(GRADES) <= {each.value for each in Grade}
