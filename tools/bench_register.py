"""Measure what a large register costs: a roller's page out of 200 000 readings, as a share of 50 ms.

    python tools/bench_register.py

Sixty rollers on three made-up presses, ten years of hardness rounds, diameters, run-out and stripes.
"""

from __future__ import annotations

import random
import statistics
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import sqlalchemy as sa

from filmsplit.actions.register import page_of
from filmsplit.records.entries import Entry, Point, entries_of_press, entries_of_roller
from filmsplit.records.kinds import ACROSS_3, ACROSS_5, KINDS
from filmsplit.records.positions import Position, PressPlace, Whereabouts, fitted, move
from filmsplit.records.roller_facts import no_facts
from filmsplit.records.roller_tables import entries, points
from filmsplit.records.rollers import add_roller, roller_of
from filmsplit.records.store import Store, Writer

READINGS = 200_000
ROLLERS = 60
PER_PRESS = 20
BEGAN = date(2020, 1, 1)
DAYS = 3650
RUNS = 15
ALLOWED_S = 0.050


def main() -> None:
    """Fill the records, then read pages of rollers."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "large.records"
        store = Store.at(path)
        begun = time.process_time()
        with store.write("bench") as writer:
            values = _fill(writer)
        print(f"{READINGS} readings ({values} values) of {ROLLERS} rollers: {path.stat().st_size / 1e6:.0f} MB")
        print(f"written in one transaction in {time.process_time() - begun:.0f} s")
        chance = random.Random(1)
        with store.read() as connection:
            roller = roller_of(connection, chance.randint(1, ROLLERS))
            page = page_of(connection, roller)
            print(f"entries of {roller.mark}: {sum(page.counts.values())}, on its page the last {len(page.entries)}")
            rollers = [roller_of(connection, chance.randint(1, ROLLERS)) for _ in range(RUNS)]
            _told("a roller's page", [lambda each=each: page_of(connection, each) for each in rollers])  # type: ignore[misc]
            _told("all it ever read", [lambda: entries_of_roller(connection, roller.id)] * 3)
            stripes = [lambda: entries_of_press(connection, "p0", kinds=["stripe"])] * 3
            _told("all stripes of a press", stripes)
            _told("who is fitted where", [lambda: fitted(connection, BEGAN + timedelta(DAYS))] * RUNS)
        store.close()


def _told(what: str, works: Sequence[Callable[[], object]]) -> None:
    seconds = [_timed(work) for work in works]
    middle = statistics.median(seconds)
    print(f"{what:24} median {middle / ALLOWED_S:5.0%} of 50 ms, largest {max(seconds) / ALLOWED_S:5.0%}")


def _timed(work: Callable[[], object]) -> float:
    """Seconds of this process alone: others who use the machine do not count."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def _fill(writer: Writer) -> int:
    """Rollers, then readings in the order of their days; the number of values."""
    for number in range(ROLLERS):
        roller_id = add_roller(writer, f"K{number}", replace(no_facts(), role="form"), since=BEGAN)
        at = PressPlace(press=f"p{number // PER_PRESS}", unit="A", place=f"R{number % PER_PRESS}")
        move(writer, roller_id, Position(day=BEGAN, whereabouts=Whereabouts.PRESS, at=at))
    made = list(_entries(random.Random(7)))
    own = [_row(writer, entry) for entry in made]
    writer.connection.execute(sa.insert(entries), own)
    rows = defaultdict(list)
    for number, entry in enumerate(made, start=1):
        for place, point in enumerate(entry.points, start=1):
            shared = {"run_id": writer.run_id, "entry_id": number, "number": place, "place": point.place}
            rows[entry.kind].append(shared | {KINDS[entry.kind].quantity: point.value})
    for each in rows.values():
        writer.connection.execute(sa.insert(points), each)
    return sum(map(len, rows.values()))


def _row(writer: Writer, entry: Entry) -> dict[str, object]:
    """As it would be written by itself; here all go at once, for what is measured is reading."""
    names = ("kind", "roller_id", "partner_id", "press", "unit", "contact", "person", "temperature_c")
    plain = {name: getattr(entry, name) for name in names}
    return plain | {"run_id": writer.run_id, "day": entry.day.isoformat()}


def _entries(chance: random.Random) -> Iterator[Entry]:
    for number in range(READINGS):
        roller = number % ROLLERS
        press, day = f"p{roller // PER_PRESS}", BEGAN + timedelta(days=number * DAYS // READINGS)
        own = Entry(kind="", day=day, roller_id=roller + 1, press=press, unit="A", person="Kim", temperature_c=23.0)
        yield _reading(own, chance, partner=roller // PER_PRESS * PER_PRESS + (roller + 1) % PER_PRESS + 1)


def _reading(own: Entry, chance: random.Random, *, partner: int) -> Entry:
    kind = chance.choices(("hardness", "stripe", "diameter", "run-out"), (4, 4, 1, 1))[0]
    if kind == "stripe":
        widths = tuple(Point(value=chance.uniform(3, 4), place=place) for place in ACROSS_5)
        return replace(own, kind=kind, partner_id=partner, contact=f"R{own.roller_id}/R{partner}", points=widths)
    count = {"hardness": 5, "diameter": 3, "run-out": 3}[kind]
    places = ("",) * count if kind == "hardness" else ACROSS_3
    return replace(own, kind=kind, points=tuple(Point(value=chance.uniform(25, 35), place=place) for place in places))


if __name__ == "__main__":
    main()
