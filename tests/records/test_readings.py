"""Rollers and readings on record: what goes in comes out, is corrected without loss, and waits for its turn."""

from __future__ import annotations

import multiprocessing
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
import sqlalchemy as sa

from filmsplit.records.entries import (
    Entry,
    Point,
    all_entries,
    entries_of_press,
    entries_of_roller,
    kind_and_standing,
    log_entry,
    strike,
)
from filmsplit.records.hardness import hardness_of
from filmsplit.records.instruments import Calibration, Instrument, instrument_named
from filmsplit.records.kinds import KINDS
from filmsplit.records.positions import fitted
from filmsplit.records.roller_tables import entries, points
from filmsplit.records.rollers import facts_on, roller_meant, state_facts
from filmsplit.records.store import Store
from records.made_readings import AT_F1, DAY, ENTRIES, FACTS, HARDNESS, STRIPE, filled


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return filled(Store.at(tmp_path / "shop.records"))


def test_every_entry_comes_back_as_it_was(store: Store) -> None:
    with store.read() as connection:
        assert all_entries(connection) == ENTRIES


@pytest.mark.parametrize("kind", [name for name, kind in KINDS.items() if kind.quantity])
def test_each_kind_keeps_its_values_in_its_own_column(store: Store, kind: str) -> None:
    entry = Entry(kind=kind, day=DAY, points=(Point(value=1.5), Point(value=0.0)))
    with store.write("test") as writer:
        number = log_entry(writer, entry)
        rows = writer.connection.execute(sa.select(points).where(points.c.entry_id == number)).mappings().all()
    filled_columns = {name for row in rows for name, value in row.items() if value is not None}
    assert filled_columns == {"id", "run_id", "entry_id", "number", "place", KINDS[kind].quantity}


def test_a_stripe_is_on_the_page_of_both_its_rollers(store: Store) -> None:
    with store.read() as connection:
        assert STRIPE in entries_of_roller(connection, 1)
        assert entries_of_roller(connection, 2) == (STRIPE,)
        assert entries_of_press(connection, "heron", unit="A", kinds=["stripe"]) == (STRIPE,)
        assert entries_of_press(connection, "dipper") == ()


def test_what_is_corrected_stays_and_counts_no_longer(store: Store) -> None:
    better = replace(HARDNESS, points=(Point(value=30.0),))
    with store.write("test") as writer:
        number = log_entry(writer, better, instead_of=1)
    with store.read() as connection:
        found = entries_of_roller(connection, 1, kinds=["hardness"])
        assert (found[0], len(found)) == (ENTRIES[-1], 2)
        assert better in found
        assert kind_and_standing(connection, 1) == ("hardness", False)
        assert kind_and_standing(connection, number) == ("hardness", True)
        assert kind_and_standing(connection, 999) is None
    with store.write("test") as writer:
        strike(writer, number, reason="wrong roller", day=DAY)
    with store.read() as connection:
        assert better not in all_entries(connection)
        assert HARDNESS not in entries_of_roller(connection, 1), "striking out a correction does not revive the slip"
        kept = connection.execute(sa.select(sa.func.count()).select_from(entries)).scalar_one()
    assert kept == len(ENTRIES) + 2


def test_nothing_is_corrected_twice(store: Store) -> None:
    """Two people who correct the same entry at once: the database lets only the first."""
    with store.write("test") as writer:
        log_entry(writer, HARDNESS, instead_of=1)
    with pytest.raises(sa.exc.IntegrityError), store.write("test") as writer:
        log_entry(writer, HARDNESS, instead_of=1)


def test_an_entry_of_a_roller_that_is_not_there_cannot_be_written(store: Store) -> None:
    with pytest.raises(sa.exc.IntegrityError), store.write("test") as writer:
        log_entry(writer, replace(HARDNESS, roller_id=99))


def test_facts_hold_from_their_day_on(store: Store) -> None:
    ground = replace(FACTS, arrival_hardness_shore_a=25.0)
    with store.write("test") as writer:
        state_facts(writer, 1, ground, since=date(2031, 1, 1))
    with store.read() as connection:
        assert facts_on(connection, 1, date(2030, 12, 31)) == FACTS
        assert facts_on(connection, 1, date(2031, 1, 1)) == ground
        assert facts_on(connection, 1, date(2029, 1, 1)) is None
        roller = roller_meant(connection, "k1")
        assert roller is not None
        assert roller.facts == ground
        assert roller_meant(connection, roller.code) == roller
        assert fitted(connection, DAY)[AT_F1] == 1


# What a hardness reading says -----------------------------------------------------------------------------------------


def test_hardness_is_put_right_by_the_calibration_of_its_day(store: Store) -> None:
    """27 read, the instrument 0.7 too high: 26.3."""
    with store.read() as connection:
        gauge = instrument_named(connection, "d1")
    found = hardness_of(HARDNESS, gauge)
    assert (found.median_shore_a, found.count, found.calibrated) == (pytest.approx(26.3), 5, True)
    assert found.spread_shore_a == 2.5


@pytest.mark.parametrize("day", [date(2029, 12, 31), date(2031, 1, 2)])
def test_before_and_after_its_calibration_an_instrument_is_not_put_right(store: Store, day: date) -> None:
    with store.read() as connection:
        gauge = instrument_named(connection, "D1")
    found = hardness_of(replace(HARDNESS, day=day), gauge)
    assert (found.median_shore_a, found.calibrated) == (27.0, False)
    assert found.sd_shore_a > hardness_of(HARDNESS, gauge).sd_shore_a


def test_readings_that_are_all_alike_are_not_exact() -> None:
    sure = Instrument(name="D9", kind="durometer", calibrations=(Calibration(day=DAY, offset=0, uncertainty=0),))
    alike = replace(HARDNESS, points=(Point(value=27.0),) * 5)
    assert hardness_of(alike, sure).sd_shore_a > 0.1


# Two at once ----------------------------------------------------------------------------------------------------------

EACH = 60


def _log_many(path: Path, person: str, begin: multiprocessing.synchronize.Barrier) -> None:
    store = Store.at(path)
    begin.wait()
    for number in range(EACH):
        with store.write("two writers") as writer:
            log_entry(writer, replace(HARDNESS, person=person, remarks=str(number)))


def test_two_writers_at_once_lose_nothing(store: Store, tmp_path: Path) -> None:
    """Two processes on one file, from one start; every entry of both is there whole, each run written by one."""
    begin = multiprocessing.get_context("spawn").Barrier(2)
    both = [
        multiprocessing.get_context("spawn").Process(target=_log_many, args=(tmp_path / "shop.records", person, begin))
        for person in ("Kim", "Ada")
    ]
    for process in both:
        process.start()
    for process in both:
        process.join(60)
    assert [process.exitcode for process in both] == [0, 0]
    with store.read() as connection:
        found = [entry for entry in all_entries(connection, kinds=["hardness"]) if entry.remarks.isdecimal()]
    for person in ("Kim", "Ada"):
        own = [entry for entry in found if entry.person == person]
        assert [entry.remarks for entry in own] == [str(number) for number in range(EACH)]
        assert {entry.points for entry in own} == {HARDNESS.points}
