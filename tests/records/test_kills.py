"""No confirmed record is lost, none is half there when the process is killed. `dev.py campaign kills` does 12 000."""

from __future__ import annotations

import sys
from dataclasses import asdict, replace
from pathlib import Path

import pytest
import sqlalchemy as sa

from filmsplit.records.entries import log_entry
from filmsplit.records.jobs import log_job
from filmsplit.records.roller_tables import points
from filmsplit.records.store import Store
from filmsplit.records.tables import jobs, readings, zones
from records.kills import JOBS, READINGS, Logged, kill_at_random, logging_by
from records.made_readings import HARDNESS
from records.test_jobs import POSTER

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="forks, which this system does not do"),
    pytest.mark.filterwarnings("ignore:This process:DeprecationWarning"),  # forking under the test runner's threads
]


@pytest.mark.parametrize("what", [JOBS, READINGS], ids=["jobs", "readings"])
def test_killed_while_logging(what: Logged, tmp_path: Path) -> None:
    tally = kill_at_random(tmp_path / "shop.db", what, kills=60, seed=1)
    assert (tally.lost, tally.half) == (0, 0)
    assert tally.confirmed > 60, "most were killed before they had done anything: nothing was tested"


def job_in_two(store: Store) -> str:
    """The job first and its zones later, in a transaction of their own."""
    with store.write("job") as writer:
        code = log_job(writer, replace(POSTER, zones=(), readings=()))
    with store.write("the rest") as writer:
        key = writer.connection.execute(sa.select(jobs.c.id).where(jobs.c.code == code)).scalar_one()
        shared = {"run_id": writer.run_id, "job_id": key}
        writer.connection.execute(sa.insert(zones), [shared | asdict(zone) for zone in POSTER.zones])
        writer.connection.execute(sa.insert(readings), [shared | asdict(reading) for reading in POSTER.readings])
    return code


def reading_in_two(store: Store) -> str:
    """The entry first and its points later."""
    with store.write("entry") as writer:
        number = log_entry(writer, replace(HARDNESS, points=()))
    with store.write("the rest") as writer:
        shared = {"run_id": writer.run_id, "entry_id": number, "place": "middle", "angle_deg": 90.0}
        rows = [
            shared | {"number": place, "hardness_shore_a": value}
            for place, value in enumerate(HARDNESS.values, start=1)
        ]
        writer.connection.execute(sa.insert(points), rows)
    return str(number)


@pytest.mark.parametrize(
    "what", [logging_by(JOBS, job_in_two), logging_by(READINGS, reading_in_two)], ids=["jobs", "readings"]
)
def test_two_transactions_for_one_record_would_be_found_out(what: Logged, tmp_path: Path) -> None:
    """The same kills on something written in two goes: the check above can fail."""
    assert kill_at_random(tmp_path / "shop.db", what, kills=60, seed=2).half > 0
