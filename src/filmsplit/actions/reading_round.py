"""A round: a table of what to read on a press, and the same table filled in, put on record in one go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from pathlib import Path
from typing import Any

from filmsplit.actions.find import find_press
from filmsplit.actions.readings import Recorded, Told, record
from filmsplit.actions.register import Daybook
from filmsplit.formats.press_file import read_text
from filmsplit.formats.replace_file import write_file
from filmsplit.formats.round_table import RoundLine, read_round, write_round
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press
from filmsplit.press.contacts import Contact
from filmsplit.press.words import ContactKind

_TEXTS = ("at", "instrument", "person", "product", "remarks")
_NUMBERS = ("angle_deg", "temperature_c")


def write_sheet(reference: str, to: Path, *, over: bool = False) -> int:
    """Write a table to fill in: hardness of every soft roller, the stripe of every contact of one; how many lines."""
    press = find_press(reference).press
    lines = [{"kind": kind, "where": where, "at": at} for kind, where, at in _to_read(reference, press)]
    write_file(to, write_round(lines).encode(), over=over)
    return len(lines)


def record_round(file: Path, *, book: Daybook) -> tuple[Recorded, ...]:
    """Put every filled line of a table on record, or none of them; what is wrong is named with its line."""
    problems: list[Problem] = []
    told: list[Told] = []
    for line in read_round(read_text(file), name=str(file)):
        try:
            told.append(_told(line))
        except Refusal as refusal:
            problems.extend(problem.at(line.place) for problem in refusal.problems)
    if problems:
        raise Refusal(problems)
    return record(told, book=book)


def told_in_words(kind: str, where: str, *, words: Sequence[str], given: dict[str, Any]) -> Told:
    """What was typed; the one word of a grade and the one count of impressions are no readings."""
    if kind == "grade":
        return Told(kind=kind, where=where, grade=" ".join(words), **given)
    if kind == "impressions" and len(words) == 1 and words[0].isdecimal():
        return Told(kind=kind, where=where, impressions=int(words[0]), **given)
    return Told(kind=kind, where=where, values=_numbers(words), **given)


def has_stripe_to_read(contact: Contact, *, soft: Set[str]) -> bool:
    """Whether a contact has a stripe to read: one member is ``soft``, and they do not touch only at times."""
    return contact.kind is not ContactKind.TOUCHES and bool(soft & {contact.a, contact.b})


def _to_read(reference: str, press: Press) -> Iterator[tuple[str, str, str]]:
    """Kind, where and place of each reading of a round, in the order of the press file."""
    for unit in press.units:
        soft = {roller.id for roller in unit.rollers if roller.is_soft}
        for roller in unit.rollers:
            if roller.id in soft:
                yield "hardness", f"{reference}:{unit.id}.{roller.id}", "middle"
        for contact in unit.contacts:
            if has_stripe_to_read(contact, soft=soft):
                yield "stripe", f"{reference}:{unit.id}.{contact.id}", ""


def _told(line: RoundLine) -> Told:
    cells = line.cells
    given: dict[str, Any] = {name: cells.get(name, "") for name in _TEXTS}
    for name in _NUMBERS:
        if cells.get(name):
            given[name] = _numbers([cells[name]])[0]
    words = cells["values"].split()
    return told_in_words(cells["kind"], cells["where"], words=words, given=given | {"place": line.place})


def _numbers(words: Sequence[str]) -> tuple[float, ...]:
    wrong, numbers = [], []
    for word in words:
        try:
            numbers.append(float(word))
        except ValueError:
            wrong.append(Problem("reading-not-a-number", {"given": word}))
    if wrong:
        raise Refusal(wrong)
    return tuple(numbers)
