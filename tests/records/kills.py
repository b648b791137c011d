"""Kill a process that writes records at random instants, and look at what is left. For the test and the campaign."""

from __future__ import annotations

import os
import random
import signal
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import sqlalchemy as sa

from filmsplit.records.entries import all_entries, log_entry
from filmsplit.records.jobs import job_of, log_job
from filmsplit.records.store import Store
from filmsplit.records.tables import jobs
from records.made_readings import HARDNESS, filled
from records.test_jobs import POSTER

LONGEST_LIFE_S = 0.02


@dataclass(slots=True)
class Tally:
    """``lost``: confirmed but not there; ``half``: there but not whole; ``confirmed``: told to the outside."""

    kills: int = 0
    confirmed: int = 0
    lost: int = 0
    half: int = 0

    def __str__(self) -> str:
        return f"{self.kills} kills, {self.confirmed} confirmed: {self.lost} lost, {self.half} half there"


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """What is written over and over. ``log`` returns what a person is told; ``kept`` says of everything of the kind
    that is on record, by what was told, whether it is whole; ``tables`` are emptied after each life.
    """

    log: Callable[[Store], str]
    kept: Callable[[sa.Connection], Mapping[str, bool]]
    tables: tuple[str, ...]
    prepare: Callable[[Store], object]


def _nothing(_: Store) -> None:
    """A job needs nothing to be there before."""


def _log_job(store: Store) -> str:
    with store.write("kill") as writer:
        return log_job(writer, POSTER)


def _kept_jobs(connection: sa.Connection) -> Mapping[str, bool]:
    codes = connection.execute(sa.select(jobs.c.code)).scalars().all()
    return {code: job_of(connection, code) == POSTER for code in codes}


def _log_reading(store: Store) -> str:
    with store.write("kill") as writer:
        return str(log_entry(writer, HARDNESS))


def _kept_readings(connection: sa.Connection) -> Mapping[str, bool]:
    return {str(entry.number): entry == HARDNESS for entry in all_entries(connection)}


def _rollers_only(store: Store) -> None:
    """The roller and the instrument that a reading leads to, and no entry yet."""
    _empty(filled(store), ("points", "entries"))


JOBS = Logged(log=_log_job, kept=_kept_jobs, tables=("readings", "zones", "jobs"), prepare=_nothing)
READINGS = Logged(log=_log_reading, kept=_kept_readings, tables=("points", "entries"), prepare=_rollers_only)


def kill_at_random(path: Path, what: Logged, *, kills: int, seed: int) -> Tally:
    """Fork a process that logs over and over, kill it, check every record; again and again."""
    chance, tally = random.Random(seed), Tally()
    store = Store.at(path)
    what.prepare(store)
    store.close()
    for _ in range(kills):
        confirmed = _one_life(path, what, life_s=chance.uniform(0.0, LONGEST_LIFE_S))
        tally.kills += 1
        tally.confirmed += len(confirmed)
        _look(path, what, confirmed=confirmed, tally=tally)
    return tally


def logging_by(what: Logged, log: Callable[[Store], str]) -> Logged:
    """The same, written in another way."""
    return replace(what, log=log)


def _one_life(path: Path, what: Logged, *, life_s: float) -> list[str]:
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        store = Store.at(path)
        while True:
            os.write(writing, what.log(store).encode() + b"\n")  # only now has anybody been told
    os.close(writing)
    first = os.read(reading, 1)  # a busy machine may take its time to begin; the instant is random from here on
    time.sleep(life_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(reading) as pipe:
        told = first.decode() + pipe.read()
    return told.split("\n")[:-1]  # what follows the last line end was not told whole


def _look(path: Path, what: Logged, *, confirmed: list[str], tally: Tally) -> None:
    """Everything in the file must be whole, and all that was confirmed must be in the file. Then it is emptied."""
    store = Store.at(path)
    with store.read() as connection:
        kept = what.kept(connection)
    tally.half += sum(not whole for whole in kept.values())
    tally.lost += len(set(confirmed) - set(kept))
    _empty(store, what.tables)
    store.close()


def _empty(store: Store, tables: tuple[str, ...]) -> None:
    with store.write("empty") as writer:
        for table in tables:
            writer.connection.execute(sa.text(f"DELETE FROM {table}"))
