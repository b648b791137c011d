"""The checklist of a round, on paper: what to read on a press, and the last value of each beside it."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from filmsplit.actions.find import find_press
from filmsplit.actions.reading_round import has_stripe_to_read
from filmsplit.actions.register import Daybook, opened
from filmsplit.figures.stage import unit_name
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import label
from filmsplit.press import Press, Roller, Unit
from filmsplit.press.contacts import Contact
from filmsplit.records.entries import Entry, entries_of_press, entries_of_roller
from filmsplit.records.hardness import hardness_of
from filmsplit.records.instruments import Instrument, all_instruments
from filmsplit.records.kinds import GRADES
from filmsplit.records.positions import PressPlace, fitted
from filmsplit.records.rollers import marks
from filmsplit.reports.round_checklist import (
    RoundChecklist,
    RoundContact,
    RoundRoller,
    RoundUnit,
    round_checklist_pdf,
)
from filmsplit.reports.typeset import Paper

LAST_OF = ("hardness", "run-out", "grade")


@dataclass(frozen=True, slots=True, kw_only=True)
class OnRecord:
    """The last entries of a press: of each contact by unit and name, of each place by kind."""

    marks: Mapping[PressPlace, str]
    stripes: Mapping[tuple[str, str], Entry]
    rollers: Mapping[PressPlace, tuple[Entry, ...]]
    gauges: Mapping[int, Instrument]


NOTHING = OnRecord(marks={}, stripes={}, rollers={}, gauges={})


def write_round_paper(reference: str, to: Path, *, book: Daybook, paper: Paper = Paper.A4, over: bool = False) -> None:
    """Write the checklist of a press. Without records it has no last values, and says so."""
    sheet = round_checklist(reference, book=book)
    write_file(to, round_checklist_pdf(sheet, paper=paper), over=over)


def round_checklist(reference: str, *, book: Daybook) -> RoundChecklist:
    """What the checklist shows, in the order of the press file."""
    press = find_press(reference).press
    with _looking(book) as connection:
        known = NOTHING if connection is None else _on_record(connection, press.id, book=book)
    found = bool(known.stripes or any(known.rollers.values()))
    return RoundChecklist(
        press=press.name or press.id,
        invented=press.invented,
        since=label("round_paper.since" if found else "round_paper.nothing", day=book.day.isoformat()),
        units=tuple(_unit(press, unit, known=known) for unit in press.units),
        grades=GRADES,
    )


@contextlib.contextmanager
def _looking(book: Daybook) -> Iterator[sa.Connection | None]:
    """The records, or ``None`` where there are none yet: a first round needs paper too."""
    if not book.records.exists():
        yield None
        return
    with opened(book) as store, store.read() as connection:
        yield connection


def _on_record(connection: sa.Connection, press: str, *, book: Daybook) -> OnRecord:
    there = {at: id for at, id in fitted(connection, book.day).items() if at.press == press}
    named = marks(connection)
    stripes = entries_of_press(connection, press, kinds=("stripe",))
    return OnRecord(
        marks={at: named[id] for at, id in there.items()},
        stripes={(each.unit, each.contact): each for each in stripes if each.day <= book.day},
        rollers={at: tuple(_last_of(connection, id, book=book)) for at, id in there.items()},
        gauges={each.id: each for each in all_instruments(connection)},
    )


def _last_of(connection: sa.Connection, roller_id: int, *, book: Daybook) -> Iterator[Entry]:
    """The newest entry of each kind, up to the day of the book."""
    for kind in LAST_OF:
        found = [each for each in entries_of_roller(connection, roller_id, kinds=(kind,)) if each.day <= book.day]
        yield from found[-1:]


def _unit(press: Press, unit: Unit, *, known: OnRecord) -> RoundUnit:
    soft = {roller.id for roller in unit.rollers if roller.is_soft}
    return RoundUnit(
        name=unit_name(unit),
        contacts=tuple(
            _contact(press, unit, contact, known=known)
            for contact in unit.contacts
            if has_stripe_to_read(contact, soft=soft)
        ),
        rollers=tuple(_roller(press, unit, roller, known=known) for roller in unit.rollers),
    )


def _contact(press: Press, unit: Unit, contact: Contact, *, known: OnRecord) -> RoundContact:
    path = ("units", unit.id, "contacts", contact.id, "stripe", "target_mm")
    assumed = any(press.is_assumed(*path[:end]) for end in range(5, len(path) + 1))
    last = known.stripes.get((unit.id, contact.id))
    return RoundContact(
        name=contact.id,
        target=label(
            "round_paper.target-assumed" if assumed else "round_paper.target", mm=f"{contact.stripe.target_mm:g}"
        ),
        last="" if last is None else _said(last, known.gauges),
    )


def _roller(press: Press, unit: Unit, roller: Roller, *, known: OnRecord) -> RoundRoller:
    at = PressPlace(press=press.id, unit=unit.id, place=roller.id)
    return RoundRoller(
        place=roller.id,
        mark=known.marks.get(at, ""),
        role=roller.role.value,
        soft=roller.is_soft,
        last=tuple(_said(each, known.gauges) for each in known.rollers.get(at, ())),
    )


def _said(entry: Entry, gauges: Mapping[int, Instrument]) -> str:
    """What was read, with its unit and its day. A hardness is told by its median, put right by the calibration."""
    if entry.kind == "hardness":
        found = hardness_of(entry, gauges.get(entry.instrument_id or 0))
        said = label("round_paper.hardness", median=f"{found.median_shore_a:.1f}", sd=f"{found.sd_shore_a:.1f}")
    elif entry.points:
        said = label(f"round_paper.{entry.kind}", values=" / ".join(f"{value:g}" for value in entry.values))
    else:
        said = entry.grade
    return label("round_paper.on", said=said, day=entry.day.isoformat())
