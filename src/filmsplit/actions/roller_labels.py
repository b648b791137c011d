"""Labels of rollers on the register, on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import sqlalchemy as sa

from filmsplit.actions.register import Daybook, looking, meant
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.positions import Position, positions_on
from filmsplit.records.roller_facts import RollerFacts
from filmsplit.records.rollers import RegisteredRoller, all_rollers
from filmsplit.reports.roller_labels import RollerLabel, roller_labels_pdf
from filmsplit.reports.typeset import Paper


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelsAsked:
    """Which labels or cards: of ``rollers`` (marks, codes or places) and of all on ``press``."""

    rollers: Sequence[str] = ()
    press: str = ""
    paper: Paper = Paper.A4


def write_labels(to: Path, asked: LabelsAsked, *, book: Daybook, over: bool = False) -> int:
    """Write the labels asked for; how many. A file that is there stays unless ``over``."""
    with looking(book) as connection:
        where = positions_on(connection, book.day)
        rollers = rollers_asked(connection, asked, day=book.day)
    labels = [_label(each, where.get(each.id)) for each in rollers]
    write_file(to, roller_labels_pdf(labels, paper=asked.paper), over=over)
    return len(labels)


def rollers_asked(connection: sa.Connection, asked: LabelsAsked, *, day: date) -> tuple[RegisteredRoller, ...]:
    """The rollers asked for, each once; :class:`Refusal` where there is none."""
    rollers = [meant(connection, each, day=day) for each in asked.rollers]
    if asked.press:
        rollers += _on_press(connection, asked.press, where=positions_on(connection, day))
    if not rollers:
        raise Refusal(Problem("labels-of-nothing"))
    return tuple(dict.fromkeys(rollers))


def _on_press(connection: sa.Connection, press: str, *, where: dict[int, Position]) -> list[RegisteredRoller]:
    there = {roller_id: position.at for roller_id, position in where.items() if position.at is not None}
    return [each for each in all_rollers(connection) if each.id in there and there[each.id].press == press]


def _label(roller: RegisteredRoller, position: Position | None) -> RollerLabel:
    place = "" if position is None else str(position.at) if position.at is not None else position.note
    return RollerLabel(
        mark=roller.mark,
        code=roller.code,
        role=roller.facts.role,
        place=place,
        facts=tuple(_facts(roller.facts)),
        invented=roller.invented,
    )


def _facts(facts: RollerFacts) -> Iterator[tuple[str, str]]:
    """What somebody at the rack looks for, where it is known; as little as fits a label."""
    size = [f"Ø {facts.drawn_diameter_mm:g}" if facts.drawn_diameter_mm else "", _mm(facts.face_mm)]
    if any(size):
        yield label("roller_label.size"), " × ".join(each for each in size if each) + " mm"
    if facts.cover_material:
        thick = f", {facts.cover_thickness_mm:g} mm" if facts.cover_thickness_mm else ""
        yield label("roller_label.cover"), f"{facts.cover_material}{thick}"
    if facts.drawn_hardness_shore_a is not None:
        yield label("roller_label.hardness"), f"{facts.drawn_hardness_shore_a:g} Shore A"
    if facts.arrival_hardness_shore_a is not None:
        yield label("roller_label.arrived"), f"{facts.arrival_hardness_shore_a:g} Shore A"
    for name in ("made", "drawing_number", "colour"):
        if getattr(facts, name):
            yield label(f"roller_label.{name}"), getattr(facts, name)


def _mm(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
