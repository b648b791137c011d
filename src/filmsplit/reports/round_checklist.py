"""The checklist of a round on paper: the gate first, then what to read on a press, with room to write."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from filmsplit.messages import label
from filmsplit.reports.fields import printed
from filmsplit.reports.setup_pdf import GATE
from filmsplit.reports.typeset import Paper, typeset

WORDS = (
    "heading", "how", "day", "reader", "instrument", "counter", "stripes", "stripes-note", "rollers", "rollers-note",
    "grades", "remarks", "after",
)  # fmt: skip
SHARED = ("gate", "gate-name", "gate-signature", "gate-date", "again", "again-initials", "page", "invented")
CONTACT_HEAD = ("contact", "target", "last", "operator", "middle", "gear", "temperature")
ROLLER_HEAD = ("roller", "last", "h1", "h2", "h3", "h4", "h5", "temperature", "run-out", "grade")
BOXES = ("isolated", "start-tried", "guards")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundContact:
    """A contact whose stripe is to be read."""

    name: str = printed("its two members, as in the press file")
    target: str = printed("target width with its unit, and whether it is assumed")
    last: str = printed("last stripe on record with its day; empty where there is none")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundRoller:
    """A roller to be read."""

    place: str = printed("its place on the unit, as in the press file")
    mark: str = printed("mark of the roller fitted there; empty where nobody has said")
    role: str = printed("what it is for")
    soft: bool = printed("whether it has a cover that a durometer reads")
    last: tuple[str, ...] = printed("last hardness, run-out and looks on record, each with its day")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundUnit:
    """One printing unit of the round, both in the order of the press file."""

    name: str = printed("name of the unit")
    contacts: tuple[RoundContact, ...] = printed("contacts with a stripe to read")
    rollers: tuple[RoundRoller, ...] = printed("every roller")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundChecklist:
    """What the checklist of a press shows."""

    press: str = printed("name of the press")
    invented: bool = printed("whether it is a demo press")
    since: str = printed("what the last values are taken from, and the day")
    units: tuple[RoundUnit, ...] = printed("units in the order the sheet meets them")
    grades: tuple[str, ...] = printed("words for what a cover looks like")


def round_checklist_pdf(sheet: RoundChecklist, *, paper: Paper) -> bytes:
    """The checklist as a PDF on ``paper``, upright, printed in black."""
    words: dict[str, Any] = {word: label(f"round_paper.{word}") for word in WORDS}
    words |= {word: label(f"setup_sheet.{word}") for word in SHARED}
    words |= {"contact_head": _head(CONTACT_HEAD), "roller_head": _head(ROLLER_HEAD)}
    data = {
        "words": words,
        "title": f"{words['heading']}: {sheet.press}",
        "press": sheet.press,
        "invented": sheet.invented,
        "since": sheet.since,
        "cannot_see": label("procedure.cannot_see"),
        "gate": [label(f"setup_gate.{each}") for each in GATE],
        "boxes": [label(f"setup_box.{each}") for each in BOXES],
        "units": [_unit(each) for each in sheet.units],
        "grades": list(sheet.grades),
    }
    return typeset("round_checklist.typ", data, paper=paper)


def _head(names: Sequence[str]) -> list[str]:
    return [label(f"round_paper_head.{name}") for name in names]


def _unit(unit: RoundUnit) -> dict[str, Any]:
    return {
        "name": unit.name,
        "contacts": [{"name": each.name, "target": each.target, "last": each.last} for each in unit.contacts],
        "rollers": [
            {
                "place": each.place,
                "mark": each.mark,
                "role": each.role,
                "soft": each.soft,
                "last": list(each.last),
            }
            for each in unit.rollers
        ],
    }
