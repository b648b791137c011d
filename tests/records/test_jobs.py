"""The shop's memory: what goes in comes out, whole or not at all, and is found again."""

from __future__ import annotations

import importlib.util
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
import sqlalchemy as sa
from hypothesis import given
from hypothesis import strategies as st

from filmsplit import records
from filmsplit.messages import Refusal
from filmsplit.records.codes import ALPHABET, new_code, read_code
from filmsplit.records.jobs import DensityReading, JobRecord, ZoneRecord, find_jobs, job_of, log_job
from filmsplit.records.store import NEWEST, Store
from filmsplit.records.tables import jobs, readings, runs, zones

POSTER = JobRecord(
    press="heron",
    unit="A",
    title="Poster, two 50 % bars",
    printed_on=date(2030, 3, 4),
    ink="black",
    stock="coated 135",
    sheets=500,
    sheets_to_ok=60,
    sweep=4,
    aim_density=1.4,
    aim_status="E",
    aim_polarised=False,
    aim_backing="white",
    saturation=2.0,
    rate_per_um=1.2,
    sheet_length_mm=320.0,
    sheet_width_mm=450.0,
    invented=True,
    zones=tuple(ZoneRecord(zone=zone, coverage=0.1 * zone, key=0.3 * zone) for zone in range(1, 11)),
    readings=(
        DensityReading(zone=1, density=1.42, sheet=100, status="E", polarised=True, backing="black"),
        DensityReading(zone=2, density=1.38),
    ),
)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store.at(tmp_path / "shop.db")


def log(store: Store, job: JobRecord) -> str:
    with store.write("job log") as writer:
        return log_job(writer, job)


def test_a_job_comes_back_as_it_was(store: Store) -> None:
    code = log(store, POSTER)
    with store.read() as connection:
        assert job_of(connection, code) == POSTER
        assert job_of(connection, code).code == code  # type: ignore[union-attr]


def test_what_nobody_said_stays_unsaid(store: Store) -> None:
    bare = JobRecord(press="heron", unit="A", title="Bare", printed_on=date(2030, 3, 5))
    code = log(store, bare)
    with store.read() as connection:
        found = job_of(connection, code)
    assert found == bare
    assert found is not None
    assert found.water is None
    assert found.sheets is None


def test_an_exception_inside_leaves_the_records_as_they_were(store: Store) -> None:
    log(store, POSTER)

    def counts() -> list[int]:
        with store.read() as connection:
            return [
                connection.execute(sa.select(sa.func.count()).select_from(t)).scalar_one()
                for t in (runs, jobs, zones, readings)
            ]

    before = counts()
    twice = replace(POSTER, zones=(ZoneRecord(zone=1), ZoneRecord(zone=1)))
    with pytest.raises(sa.exc.IntegrityError), store.write("job log") as writer:
        log_job(writer, twice)
    assert counts() == before == [1, 1, 10, 2]


def test_every_row_carries_the_run_that_wrote_it(store: Store) -> None:
    log(store, POSTER)
    log(store, POSTER)
    with store.read() as connection:
        assert connection.execute(sa.select(zones.c.run_id).distinct()).scalars().all() == [1, 2]


def test_jobs_are_found_by_every_word_and_press_newest_first(store: Store) -> None:
    log(store, POSTER)
    log(store, replace(POSTER, title="Letterhead", printed_on=date(2030, 6, 1)))
    log(store, replace(POSTER, title="Letterhead", press="dipper", printed_on=date(2030, 5, 1)))
    with store.read() as connection:
        titles = [(job.press, job.title) for job in find_jobs(connection, words=["letter", "BLACK"])]
        assert titles == [("heron", "Letterhead"), ("dipper", "Letterhead")]
        assert [job.title for job in find_jobs(connection, press="heron", words=["50 %"])] == [POSTER.title]
        assert find_jobs(connection, press="heron", unit="B") == ()
        assert find_jobs(connection, words=["50_%"]) == ()


def test_the_newest_revision_is_the_last_file() -> None:
    folder = Path(next(iter(records.__path__))) / "migrations" / "versions"
    revisions, leads_from = [], set()
    for file in sorted(folder.glob("r*.py")):
        spec = importlib.util.spec_from_file_location(file.stem, file)
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        revisions.append(module.revision)
        leads_from.add(module.down_revision)
    assert [revision for revision in revisions if revision not in leads_from] == [NEWEST]


def test_records_of_a_newer_program_are_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    store = Store.at(path)
    with store.write("test") as writer:
        writer.connection.execute(sa.text("UPDATE alembic_version SET version_num = 'r9999'"))
    store.close()
    before = path.read_bytes()
    with pytest.raises(Refusal) as refused:
        Store.at(path)
    assert [problem.slug for problem in refused.value.problems] == ["records-newer"]
    assert path.read_bytes() == before


def test_a_file_that_is_no_database_is_refused_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    path.write_text("not a database, but somebody's notes\n" * 40, encoding="utf-8")
    with pytest.raises(Refusal) as refused:
        Store.at(path)
    assert [problem.slug for problem in refused.value.problems] == ["records-not-opened"]
    assert path.read_text(encoding="utf-8").startswith("not a database")


def test_codes_survive_hands_and_eyes() -> None:
    code = new_code()
    assert read_code(code) == code
    assert read_code(" " + code.lower().replace("-", " ") + " ") == code
    assert read_code(code.replace("1", "l").replace("0", "O")) == code


@given(body=st.text(ALPHABET[:31], min_size=8, max_size=8), data=st.data())
def test_every_single_slip_and_swap_of_neighbours_is_found(body: str, data: st.DataObject) -> None:
    """A weighted sum modulo a prime larger than the places finds both: algebra."""
    if read_code(body) is None:
        return
    place = data.draw(st.integers(0, 7))
    other = data.draw(st.sampled_from([sign for sign in ALPHABET[:31] if sign != body[place]]))
    assert read_code(body[:place] + other + body[place + 1 :]) is None
    if place < 6 and body[place] != body[place + 1]:
        assert read_code(body[:place] + body[place + 1] + body[place] + body[place + 2 :]) is None
