"""The setting sheet on paper: the gate first, then every contact in its turn with target, what to turn, and room."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from filmsplit.messages import label
from filmsplit.reports.fields import printed
from filmsplit.reports.setup_pdf import GATE, steps_on_paper
from filmsplit.reports.setup_sheet import Done
from filmsplit.reports.typeset import Paper, typeset

WORDS = ("heading", "withheld", "withheld-note", "known", "by", "day", "record")
SHARED = (
    "gate", "gate-name", "gate-signature", "gate-date", "again", "again-initials", "page", "invented", "manual",
    "steps",
)  # fmt: skip
HEAD = ("number", "contact", "target", "advice", "before", "turned", "after")
BOXES = ("isolated", "start-tried", "guards")


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingRow:
    """One contact in its turn."""

    number: str = printed("its place in the order")
    name: str = printed("its two members, as in the press file")
    who: str = printed("which roller is set against which")
    target: str = printed("target cold and warm, mm")
    read: str = printed("stripe read last with its day; empty where there is none")
    turn: str = printed("what to do at both ends; empty where nothing is told")


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRows:
    """Contacts of one stage, and what their stripe is seen with."""

    name: str = printed("the stage")
    tools: str = printed("what the stripe is seen with")
    rows: tuple[SettingRow, ...] = printed("contacts in order")


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingSheet:
    """What the setting sheet of one unit shows."""

    press: str = printed("name of the press")
    unit: str = printed("name of the unit; empty for a press of one unit")
    invented: bool = printed("whether it is a demo press")
    how: str = printed("how to read the sheet, with the temperatures of the targets")
    stages: tuple[StageRows, ...] = printed("stages in the order of setting")
    withheld: tuple[str, ...] = printed("why rollers may not be set")
    known: tuple[str, ...] = printed("what to know before turning")
    steps: Done = printed("the steps, each with its press state")


def setting_sheet_pdf(sheet: SettingSheet, *, paper: Paper) -> bytes:
    """The sheet as a PDF on ``paper``, upright, printed in black."""
    words: dict[str, Any] = {word: label(f"setting_sheet.{word}") for word in WORDS}
    words |= {word: label(f"setup_sheet.{word}") for word in SHARED}
    words["head"] = [label(f"setting_sheet.{each}") for each in HEAD]
    subject = " · ".join(each for each in (sheet.press, sheet.unit) if each)
    data = {
        "words": words,
        "title": f"{words['heading']}: {subject}",
        "subject": subject,
        "invented": sheet.invented,
        "cannot_see": label("procedure.cannot_see"),
        "gate": [label(f"setup_gate.{each}") for each in GATE],
        "boxes": [label(f"setup_box.{each}") for each in BOXES],
        "how": sheet.how,
        "stages": [_stage(each) for each in sheet.stages],
        "withheld": list(sheet.withheld),
        "known": list(sheet.known),
        "steps": steps_on_paper(sheet.steps),
    }
    return typeset("setting_sheet.typ", data, paper=paper)


def _stage(stage: StageRows) -> dict[str, Any]:
    rows = [
        {"number": each.number, "name": each.name, "who": each.who, "target": each.target}
        | {"read": each.read, "turn": each.turn}
        for each in stage.rows
    ]
    return {"name": stage.name, "tools": stage.tools, "rows": rows}
