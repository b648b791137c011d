"""No confirmed record is lost and none is half there when the process is killed. `dev.py campaign kills` does 2 000."""

from __future__ import annotations

import sys
from dataclasses import asdict, replace
from pathlib import Path

import pytest
import sqlalchemy as sa

from filmsplit.records.jobs import JobRecord, log_job
from filmsplit.records.store import Store
from filmsplit.records.tables import jobs, readings, zones
from records.kills import kill_at_random
from records.test_jobs import POSTER

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="forks, which this system does not do"),
    pytest.mark.filterwarnings("ignore:This process:DeprecationWarning"),  # forking under the test runner's threads
]


def test_killed_while_logging(tmp_path: Path) -> None:
    tally = kill_at_random(tmp_path / "shop.db", kills=60, job=POSTER, seed=1)
    assert (tally.lost, tally.half) == (0, 0)
    assert tally.confirmed > 60, "most were killed before they had done anything: nothing was tested"


def test_two_transactions_for_one_job_would_be_found_out(tmp_path: Path) -> None:
    """The same kills on a logger that writes the job first and its zones later: the check above can fail."""

    def in_two(store: Store, job: JobRecord) -> str:
        with store.write("job") as writer:
            code = log_job(writer, replace(job, zones=(), readings=()))
        with store.write("the rest") as writer:
            key = writer.connection.execute(sa.select(jobs.c.id).where(jobs.c.code == code)).scalar_one()
            shared = {"run_id": writer.run_id, "job_id": key}
            writer.connection.execute(sa.insert(zones), [shared | asdict(zone) for zone in job.zones])
            writer.connection.execute(sa.insert(readings), [shared | asdict(reading) for reading in job.readings])
        return code

    assert kill_at_random(tmp_path / "shop.db", kills=60, job=POSTER, seed=2, log=in_two).half > 0
