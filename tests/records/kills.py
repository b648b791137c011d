"""Kill a process that logs jobs at random instants, and look at what is left. Shared by the test and the campaign."""

from __future__ import annotations

import os
import random
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from filmsplit.records.jobs import JobRecord, job_of, log_job
from filmsplit.records.store import Store
from filmsplit.records.tables import jobs

LONGEST_LIFE_S = 0.02


@dataclass(slots=True)
class Tally:
    """``lost``: confirmed but not there; ``half``: there but not whole; ``confirmed``: told to the outside."""

    kills: int = 0
    confirmed: int = 0
    lost: int = 0
    half: int = 0


Log = Callable[[Store, JobRecord], str]


def in_one_transaction(store: Store, job: JobRecord) -> str:
    """As the program does it."""
    with store.write("kill") as writer:
        return log_job(writer, job)


def kill_at_random(path: Path, *, kills: int, job: JobRecord, seed: int, log: Log = in_one_transaction) -> Tally:
    """Fork a process that logs ``job`` over and over, kill it, check every record; again and again."""
    chance, tally = random.Random(seed), Tally()
    Store.at(path).close()
    for _ in range(kills):
        confirmed = _one_life(path, job, log=log, life_s=chance.uniform(0.0, LONGEST_LIFE_S))
        tally.kills += 1
        tally.confirmed += len(confirmed)
        _look(path, job, confirmed=confirmed, tally=tally)
    return tally


def _one_life(path: Path, job: JobRecord, *, log: Log, life_s: float) -> list[str]:
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        store = Store.at(path)
        while True:
            os.write(writing, log(store, job).encode() + b"\n")  # only now has anybody been told
    os.close(writing)
    first = os.read(reading, 1)  # a busy machine may take its time to begin; the instant is random from here on
    time.sleep(life_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(reading) as pipe:
        told = first.decode() + pipe.read()
    return told.split("\n")[:-1]  # what follows the last line end was not told whole


def _look(path: Path, job: JobRecord, *, confirmed: list[str], tally: Tally) -> None:
    """Every job in the file must be whole, and every confirmed one must be in the file. Then the file is emptied."""
    store = Store.at(path)
    with store.read() as connection:
        codes = connection.execute(sa.select(jobs.c.code)).scalars().all()
        tally.half += sum(job_of(connection, code) != job for code in codes)
        tally.lost += len(set(confirmed) - set(codes))
    with store.write("empty") as writer:
        for table in ("readings", "zones", "jobs"):
            writer.connection.execute(sa.text(f"DELETE FROM {table}"))
    store.close()
