"""Samples of fountain solution on record: read back as told, struck out by later rows, exported and imported whole."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from filmsplit.actions.record_files import export, import_export
from filmsplit.actions.register import Daybook
from filmsplit.condition.solution import Sample, Where
from filmsplit.condition.solution_bands import SolutionBands, own_band
from filmsplit.records.rounds import names_on_record
from filmsplit.records.solutions import (
    all_samples,
    bands_of,
    log_sample,
    samples_of,
    say_bands,
    strike_bands,
    strike_sample,
)
from filmsplit.records.store import Store
from records.test_migrations import rows_of

DAY = date(2026, 5, 4)
WHOLE = Sample(
    day=DAY,
    press="heron",
    unit="A",
    where=Where.PAN,
    us_per_cm=1450.0,
    ph=5.1,
    temperature_c=14.0,
    alcohol_percent=0.0,
    dose_percent=3.0,
    hardness_dh=9.0,
    person="Invented C",
    note="after the break",
)
BARE = Sample(day=DAY, press="heron", where=Where.TANK, fresh=True, ph=4.9)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store.at(tmp_path / "shop.records")


def test_a_sample_is_read_back_as_told(store: Store) -> None:
    with store.write("test") as writer:
        numbers = [log_sample(writer, each) for each in (WHOLE, BARE)]
    with store.read() as connection:
        found = samples_of(connection, "heron")
        assert samples_of(connection, "bittern") == ()
        assert names_on_record(connection, most=5) == ("Invented C",)
    assert found == (WHOLE, BARE)
    assert [each.number for each in found] == numbers
    assert all(each.at is not None for each in found)


def test_samples_are_ordered_by_the_day_they_were_taken(store: Store) -> None:
    late = Sample(day=date(2026, 5, 5), press="heron", where=Where.PAN, ph=5.0)
    with store.write("test") as writer:
        log_sample(writer, late)
        log_sample(writer, WHOLE)
    with store.read() as connection:
        assert samples_of(connection, "heron") == (WHOLE, late)


def test_one_struck_out_stays_and_counts_no_longer(store: Store, tmp_path: Path) -> None:
    said = {"person": "Invented D", "reason": "wrong pan"}
    with store.write("test") as writer:
        number = log_sample(writer, WHOLE)
    with store.write("test") as writer:
        assert strike_sample(writer, number, day=DAY, person=said["person"], reason=said["reason"])
        assert not strike_sample(writer, number, day=DAY, person=said["person"], reason=said["reason"])
        assert not strike_sample(writer, number + 1, day=DAY, person=said["person"], reason=said["reason"])
    with store.read() as connection:
        assert all_samples(connection) == ()
    rows = rows_of(tmp_path / "shop.records")["solution_samples"]
    assert [(row["conductivity_us_per_cm"], row["note"]) for row in rows] == [
        (1450.0, "after the break"),
        (None, "wrong pan"),
    ]


def test_the_last_bands_hold_from_their_day_and_those_before_again_once_struck_out(store: Store) -> None:
    first = SolutionBands(product="Invented 3", ph=own_band((4.0, 4.4)))
    second = SolutionBands(product="Invented 4", temperature_c=own_band((12.0, 15.0)))
    with store.write("test") as writer:
        say_bands(writer, "heron", bands=first, day=DAY, person="")
        number = say_bands(writer, "heron", bands=second, day=date(2026, 6, 1), person="")
    with store.read() as connection:
        assert bands_of(connection, "heron", on=date(2026, 5, 3)) == SolutionBands()
        assert bands_of(connection, "heron", on=date(2026, 5, 31)) == first
        assert bands_of(connection, "heron", on=date(2026, 6, 1)) == second
    with store.write("test") as writer:
        assert strike_bands(writer, number, day=DAY, person="Invented D", reason="another drum")
    with store.read() as connection:
        assert bands_of(connection, "heron", on=date(2026, 6, 2)) == first


@pytest.mark.parametrize("name", ["all.json", "all"])
def test_exports_carry_them(store: Store, tmp_path: Path, name: str) -> None:
    with store.write("test") as writer:
        number = log_sample(writer, WHOLE)
        log_sample(writer, BARE)
        say_bands(writer, "heron", bands=SolutionBands(ph=own_band((4.0, 4.4))), day=DAY, person="")
    with store.write("test") as writer:
        strike_sample(writer, number, day=DAY, person="Invented D", reason="wrong pan")
    store.close()
    export(tmp_path / name, book=Daybook(tmp_path / "shop.records", DAY))
    import_export(tmp_path / name, book=Daybook(tmp_path / "other.records", DAY))
    assert rows_of(tmp_path / "other.records") == rows_of(tmp_path / "shop.records")
