"""Everything that was ever put on record, line by line: what counts, what was replaced, what was struck out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from filmsplit.condition.solution import Sample
from filmsplit.records.entries import Entry, entries_numbered
from filmsplit.records.roller_tables import calibrations, entries, instruments, positions, roller_facts, rollers
from filmsplit.records.round_tables import round_steps, rounds
from filmsplit.records.solution_tables import solution_bands, solution_samples
from filmsplit.records.solutions import samples_numbered
from filmsplit.records.struck_tables import struck_facts, struck_plans
from filmsplit.records.tables import jobs, plans, runs, struck_jobs


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which lines; what is empty keeps nothing out. ``since`` and ``until`` are days, ``skip`` counts lines."""

    press: str = ""
    person: str = ""
    kind: str = ""
    roller: str = ""
    since: str = ""
    until: str = ""
    skip: int = 0
    most: int = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: when it was written and in which run, what it is about and what it says.

    ``entry`` is there for a reading or an event, ``sample`` for one of fountain solution; ``replaced_by`` is the number
    of the row in its place, ``strikes`` says that the line itself only strikes out ``replaces``.
    """

    run: int
    at: datetime
    source: str
    number: int
    kind: str
    day: str = ""
    press: str = ""
    about: str = ""
    said: str = ""
    person: str = ""
    entry: Entry | None = None
    sample: Sample | None = None
    replaces: int | None = None
    replaced_by: int | None = None
    strikes: bool = False

    @property
    def counts(self) -> bool:
        return self.replaced_by is None and not self.strikes


def history_lines(connection: sa.Connection, wanted: Wanted) -> tuple[Line, ...]:
    """The newest lines that are wanted, the newest first."""
    lines = [line for query in _queries(wanted) for line in _lines(connection, query)]
    lines += _entry_lines(connection, wanted)
    shown = sorted(lines, key=lambda line: (-line.run, -line.number))[wanted.skip : wanted.skip + wanted.most]
    return _with_samples(connection, shown)


def _with_samples(connection: sa.Connection, lines: list[Line]) -> tuple[Line, ...]:
    """The lines with what was read, where they are samples."""
    numbers = [line.number for line in lines if line.source == SAMPLE]
    found = samples_numbered(connection, numbers)
    return tuple(replace(line, sample=found.get(line.number)) if line.source == SAMPLE else line for line in lines)


def line_of_entry(connection: sa.Connection, number: int) -> Line | None:
    """The line of an entry by its number; ``None`` if there is none."""
    return next(_entries_where(connection, entries.c.id == number, most=1), None)


def line_numbered(connection: sa.Connection, source: str, number: int) -> Line | None:
    """The line of a row of one of the other kinds by its number; ``None`` if there is none."""
    found = (query.where(_SOURCES[kind][0].c.id == number) for kind, query in _queries(Wanted(kind=source)))
    lines = [line for query in found for line in _lines(connection, (source, query))]
    return next(iter(_with_samples(connection, lines[:1])), None)


def kinds_on_record(connection: sa.Connection) -> tuple[str, ...]:
    """Kinds of entries there are, by alphabet."""
    return tuple(connection.execute(sa.select(entries.c.kind).distinct().order_by(entries.c.kind)).scalars())


SAMPLE = "sample"
_NOTHING = sa.literal("")
_AT = rollers.c.id == positions.c.roller_id
_WHERE_TO = positions.c.whereabouts + " " + positions.c.place + " " + positions.c.note
_FACTS = roller_facts
_OF = rollers.c.id == _FACTS.c.roller_id
_TAKEN, _BANDS = solution_samples, solution_bands
_GAUGE = instruments.c.id == calibrations.c.instrument_id

_SOURCES: Mapping[str, tuple[sa.Table, sa.FromClause, tuple[Any, ...]]] = {
    "job": (jobs, jobs, (jobs.c.printed_on, jobs.c.press, jobs.c.code, jobs.c.title, jobs.c.operator)),
    "undone": (
        struck_jobs,
        struck_jobs.join(jobs, jobs.c.id == struck_jobs.c.job_id),
        (struck_jobs.c.day, jobs.c.press, jobs.c.code, struck_jobs.c.reason, struck_jobs.c.person),
    ),
    "plan": (plans, plans, (plans.c.planned_on, plans.c.press, plans.c.code, plans.c.title, _NOTHING)),
    "plan-undone": (
        struck_plans,
        struck_plans.join(plans, plans.c.id == struck_plans.c.plan_id),
        (struck_plans.c.day, plans.c.press, plans.c.code, struck_plans.c.reason, struck_plans.c.person),
    ),
    "move": (
        positions,
        positions.join(rollers, _AT),
        (positions.c.day, positions.c.press, rollers.c.mark, _WHERE_TO, _NOTHING),
    ),
    "roller": (_FACTS, _FACTS.join(rollers, _OF), (_FACTS.c.since, _NOTHING, rollers.c.mark, _FACTS.c.role, _NOTHING)),
    "roller-undone": (
        struck_facts,
        struck_facts.join(_FACTS, _FACTS.c.id == struck_facts.c.facts_id).join(rollers, _OF),
        (struck_facts.c.day, _NOTHING, rollers.c.mark, struck_facts.c.reason, struck_facts.c.person),
    ),
    "calibration": (
        calibrations,
        calibrations.join(instruments, _GAUGE),
        (calibrations.c.day, _NOTHING, instruments.c.name, calibrations.c.against, _NOTHING),
    ),
    "round": (
        round_steps,
        round_steps.join(rounds, rounds.c.id == round_steps.c.round_id),
        (round_steps.c.day, rounds.c.press, round_steps.c.contact, round_steps.c.what, round_steps.c.person),
    ),
    SAMPLE: (
        _TAKEN,
        _TAKEN,
        (_TAKEN.c.day, _TAKEN.c.press, _TAKEN.c.unit + " " + _TAKEN.c.taken_from, _TAKEN.c.note, _TAKEN.c.person),
    ),
    "solution-band": (
        _BANDS,
        _BANDS,
        (_BANDS.c.since, _BANDS.c.press, _BANDS.c.product, _BANDS.c.note, _BANDS.c.person),
    ),
}
"""For each kind but entries: its table, what it is read with, and its columns in the order of ``_NAMES``."""
_STRUCK: Mapping[sa.Table, sa.Column[Any]] = {
    jobs: struck_jobs.c.job_id,
    plans: struck_plans.c.plan_id,
    roller_facts: struck_facts.c.facts_id,
}
"""Tables whose rows are struck out by a row of another: there, which one."""
_STRIKING = {of.table: of for of in _STRUCK.values()}
_NAMES = ("day", "press", "about", "said", "person")

OTHER_KINDS = tuple(_SOURCES)
"""Kinds of lines that are no entries."""


def _queries(wanted: Wanted) -> Iterator[tuple[str, sa.Select[Any]]]:
    for kind, (table, joined, found) in _SOURCES.items():
        if wanted.kind in ("", kind):
            columns = dict(zip(_NAMES, found, strict=True))
            named = [column.label(name) for name, column in columns.items()]
            chosen = [table.c.id, table.c.run_id, runs.c.began_at, *named, *_corrections(table)]
            query = sa.select(*chosen).select_from(joined.join(runs, runs.c.id == table.c.run_id))
            bounds = tuple(_bounds(wanted, columns))
            yield kind, query.where(*bounds).order_by(table.c.id.desc()).limit(wanted.skip + wanted.most)


def _corrections(table: sa.Table) -> tuple[sa.ColumnElement[Any], ...]:
    """What a row replaces, by what it was replaced, and whether it only strikes out."""
    found: tuple[sa.ColumnElement[Any], ...] = (sa.null(), sa.null(), sa.literal(0))
    if table in _STRUCK:
        of = _STRUCK[table]
        by = sa.select(of.table.c.id).where(of == table.c.id).scalar_subquery()
        found = (sa.null(), by, sa.literal(0))
    elif table in _STRIKING:
        found = (_STRIKING[table], sa.null(), sa.literal(1))
    elif "replaces_id" in table.c:
        later = table.alias("later")
        by = sa.select(later.c.id).where(later.c.replaces_id == table.c.id).scalar_subquery()
        found = (table.c.replaces_id, by, table.c.strikes)
    names = ("replaces", "replaced_by", "strikes")
    return tuple(column.label(name) for name, column in zip(names, found, strict=True))


def _bounds(wanted: Wanted, columns: Mapping[str, Any]) -> Iterator[sa.ColumnElement[bool]]:
    if wanted.press:
        yield columns["press"] == wanted.press
    if wanted.person:
        yield columns["person"] == wanted.person
    if wanted.roller:
        yield columns["about"] == wanted.roller
    if wanted.since:
        yield runs.c.began_at >= wanted.since
    if wanted.until:
        yield runs.c.began_at < wanted.until + "T~"  # after every moment of that day


def _lines(connection: sa.Connection, named: tuple[str, sa.Select[Any]]) -> Iterator[Line]:
    kind, query = named
    for row in connection.execute(query).mappings():
        yield Line(
            run=row["run_id"],
            at=datetime.fromisoformat(row["began_at"]),
            source=kind,
            number=row["id"],
            kind=kind,
            **{name: row[name] for name in ("day", "press", "person")},
            about=row["about"].strip(),
            said=row["said"].strip(),
            replaces=row["replaces"],
            replaced_by=row["replaced_by"],
            strikes=bool(row["strikes"]),
        )


def _entry_lines(connection: sa.Connection, wanted: Wanted) -> Iterator[Line]:
    if wanted.kind in OTHER_KINDS:
        return iter(())
    roller = sa.select(rollers.c.mark).where(rollers.c.id == entries.c.roller_id).scalar_subquery()
    columns = {"press": entries.c.press, "person": entries.c.person, "about": roller}
    bounds = [*_bounds(wanted, columns)]
    bounds += [entries.c.kind == wanted.kind] if wanted.kind else []
    return _entries_where(connection, sa.and_(sa.true(), *bounds), most=wanted.skip + wanted.most)


def _entries_where(connection: sa.Connection, condition: sa.ColumnElement[bool], *, most: int) -> Iterator[Line]:
    later = entries.alias("later")
    mark = sa.select(rollers.c.mark).where(rollers.c.id == entries.c.roller_id).scalar_subquery()
    by = sa.select(later.c.id).where(later.c.replaces_id == entries.c.id).scalar_subquery()
    more = {"mark": mark, "replaced_by": by}
    chosen: list[Any] = [entries, runs.c.began_at, *(column.label(name) for name, column in more.items())]
    query = sa.select(*chosen).join(runs, runs.c.id == entries.c.run_id).where(condition)
    rows = connection.execute(query.order_by(entries.c.id.desc()).limit(most)).mappings().all()
    whole = entries_numbered(connection, [row["id"] for row in rows])
    for row in rows:
        yield Line(
            run=row["run_id"],
            at=datetime.fromisoformat(row["began_at"]),
            source="entry",
            number=row["id"],
            about=row["contact"] or row["mark"] or row["unit"],
            said=row["remarks"] if row["strikes"] else "",
            entry=whole[row["id"]],
            replaces=row["replaces_id"],
            replaced_by=row["replaced_by"],
            strikes=bool(row["strikes"]),
            **{name: row[name] for name in ("kind", "day", "press", "person")},
        )
