"""The set-up sheet as a PDF: the gate first, with blank boxes; then what to set, what to expect, what to do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from filmsplit.figures.drawing import Drawing
from filmsplit.messages import label
from filmsplit.procedures.gate import Passage
from filmsplit.procedures.procedure import Step
from filmsplit.procedures.words import PressState
from filmsplit.reports.keys import KeyOnPaper
from filmsplit.reports.setup_sheet import Done, Expected, SetupSheet, Waits
from filmsplit.reports.typeset import Paper, typeset

MOST_IN_ROW = 12
"""Keys side by side: more would make the figures smaller than can be read at arm's length."""

WORDS = (
    "heading", "gate", "gate-name", "gate-signature", "gate-date", "again", "again-initials", "set", "keys",
    "operator", "gear", "wait", "ink", "cautions", "assumed", "limits", "used", "used-help", "steps", "manual", "code",
    "page", "invented", "record-help", "code-alt", "curve", "work", "place", "washes", "washes-help", "start",
    "unreached", "standing", "last-time", "coverage", "cover",
)  # fmt: skip
GATE = ("signed-off", "isolated", "start-tried", "guards-tested", "guards", "lock", "data-sheet", "gloves")
USED = ("keys", "sweep", "water", "density", "sheets-to-ok", "waste", "ink", "remarks")


def setup_pdf(sheet: SetupSheet, *, paper: Paper) -> bytes:
    """The sheet as a PDF on ``paper``, upright, printed in black."""
    return _typeset([sheet], cover=[], paper=paper)


def setups_pdf(sheets: Sequence[SetupSheet], *, paper: Paper) -> bytes:
    """The sheets of every ink of a job in one PDF behind a cover with a line for each; one alone has no cover."""
    lines = [(" · ".join(_lead(sheet)), sheet.code) for sheet in sheets]
    return _typeset(sheets, cover=lines if len(lines) > 1 else [], paper=paper)


def _lead(sheet: SetupSheet) -> Iterator[str]:
    yield sheet.ink or label("setup_page.one_ink")
    yield from (each for each in (sheet.unit, sheet.passes) if each)


def _typeset(sheets: Sequence[SetupSheet], *, cover: Sequence[tuple[str, str]], paper: Paper) -> bytes:
    words, first = {word: label(f"setup_sheet.{word}") for word in WORDS}, sheets[0]
    subject = first.press if cover else _subject(first)
    data = {
        "words": words,
        "title": f"{words['heading']}: {subject}: {first.job}",
        "press": first.press,
        "job": first.job,
        "invented": first.invented,
        "cover": list(cover),
        "sheets": [_on_paper(sheet) for sheet in sheets],
    }
    return typeset("setup_sheet.typ", data, paper=paper)


def _subject(sheet: SetupSheet) -> str:
    return " · ".join(each for each in (sheet.press, sheet.unit) if each)


def _on_paper(sheet: SetupSheet) -> dict[str, Any]:
    return {
        "subject": _subject(sheet),
        "job": sheet.job,
        "invented": sheet.invented,
        "code": sheet.code,
        "code_svg": code_svg(sheet.code) if sheet.code else "",
        "cannot_see": label("procedure.cannot_see"),
        "gate": [label(f"setup_gate.{each}") for each in GATE],
        "facts": list(_facts(sheet)),
        "key_rows": [_row(row) for row in rows_of(sheet.keys)],
        "how": sheet.how_to_read,
        "waits": list(_waits(sheet.expected, sheet.waits)),
        "ink": list(_ink(sheet)),
        "curve": _drawing(sheet.curve),
        "place": _drawing(sheet.place),
        "washes": list(sheet.washes),
        "start": list(sheet.start),
        "start_state": PressState.RUNNING.text,
        "unreached": list(sheet.unreached),
        "standing": list(sheet.standing),
        "last_time": list(sheet.last_time),
        "work": list(sheet.work),
        "warnings": list(sheet.warnings),
        "assumptions": list(sheet.assumptions),
        "limits": list(sheet.limits),
        "used": [label(f"setup_used.{each}") for each in USED],
        "zones": [key.zone for key in sheet.keys],
        "procedures": [steps_on_paper(each) for each in sheet.procedures],
    }


def code_svg(code: str) -> str:
    """The record code as a QR code (ISO/IEC 18004), error correction Q: a quarter may be hidden by ink."""
    import segno  # noqa: PLC0415  # only a sheet with a code needs it

    return str(segno.make(code, error="q", micro=False).svg_inline(border=4, omitsize=True))


def rows_of(keys: Sequence[KeyOnPaper]) -> list[Sequence[KeyOnPaper]]:
    """The keys in rows of nearly the same length."""
    rows = -(-len(keys) // MOST_IN_ROW)
    edges = [round(row * len(keys) / rows) for row in range(rows + 1)]
    return [keys[start:end] for start, end in pairwise(edges)]


def _row(keys: Sequence[KeyOnPaper]) -> list[dict[str, Any]]:
    return [
        {
            "zone": key.zone,
            "whole": key.whole,
            "part": key.part,
            "opening": min(1.0, key.opening),
            "coverage": "" if key.coverage is None else _percent(key.coverage),
        }
        for key in keys
    ]


def _percent(part: float) -> str:
    """As on a plate reader: tenths under ten percent, where they count."""
    return label("setup_sheet.percent", percent=f"{100 * part:.{1 if 0 < part < 0.0995 else 0}f}")


def _facts(sheet: SetupSheet) -> Iterator[tuple[str, str]]:
    run = label("setup_fact.sheets", sheets=_thousands(sheet.run)) if sheet.run else label("setup_fact.unknown")
    yield label("setup_fact.ink"), sheet.ink or label("setup_fact.unknown")
    if sheet.passes:
        yield label("setup_fact.pass"), sheet.passes
    yield label("setup_fact.stock"), sheet.stock or label("setup_fact.unknown")
    yield label("setup_fact.run"), run
    yield label("setup_fact.sweep"), sheet.sweep or label("setup_fact.no-sweep")
    yield label("setup_fact.water"), sheet.water
    if sheet.aim:
        yield label("setup_fact.aim"), sheet.aim


def _waits(expected: Expected, waits: Waits) -> Iterator[tuple[str, str]]:
    """What the sheet should carry and when: words, and a big value."""
    unit = expected.unit
    yield expected.quantity, f"{expected.value:.2f} {unit}"
    if expected.low is not None and expected.high is not None and expected.coverage is not None:
        band = label("setup_wait.band", percent=f"{100 * expected.coverage:.0f}")
        yield band, f"{expected.low:.2f}–{expected.high:.2f} {unit}"
    for name, sheets in (("63", waits.sheets_63), ("95", waits.sheets_95), ("judge", waits.judge_key)):
        value = label("setup_wait.unknown") if sheets is None else label("setup_wait.sheets", sheets=_thousands(sheets))
        yield label(f"setup_wait.{name}"), value


def _ink(sheet: SetupSheet) -> Iterator[tuple[str, str]]:
    need = sheet.ink_need
    if need is None:
        return
    yield label("setup_ink.printed"), _kg(need.printed_kg)
    yield label("setup_ink.charge"), _kg(need.charge_kg)
    told = need.fountain_kg > 0
    yield label("setup_ink.fountain"), _kg(need.fountain_kg) if told else label("setup_fact.unknown")
    if need.left_over_kg > 0:
        yield label("setup_ink.left-over"), _kg(need.left_over_kg)
    yield label("setup_ink.total" if told else "setup_ink.total-less-fill"), _kg(need.total_kg)


def _kg(kg: float) -> str:
    """To the gram as far as a shop's scale tells it; number and unit stay together."""
    return f"{kg:.{3 if kg < 100 else 1}f}\u00a0kg"


def _drawing(drawing: Drawing | None) -> dict[str, Any] | None:
    """A drawing with its size on paper, mm."""
    if drawing is None:
        return None
    return {"svg": drawing.svg, "width": drawing.width_mm, "height": drawing.height_mm, "alt": drawing.alt}


def steps_on_paper(done: Done) -> dict[str, Any]:
    """A procedure as the templates take it, its steps numbered through."""
    first, passages = 1, []
    for passage in done.passages:
        passages.append(_passage(passage, first=first))
        first += len(passage.steps)
    return {"title": done.title, "source": label("procedure.source", source=done.source), "passages": passages}


def _passage(passage: Passage, *, first: int) -> dict[str, Any]:
    """A passage that needs the gate gets boxes of its own: a statement is over once rollers have moved."""
    return {
        "state": passage.state.text,
        "boxes": list(_boxes(passage)),
        "first": first,
        "steps": [_step(step) for step in passage.steps],
    }


def _boxes(passage: Passage) -> Iterator[str]:
    """What has to be stated again before these steps."""
    if passage.hands_in:
        yield label("setup_box.isolated")
        yield label("setup_box.start-tried")
    if passage.at_press:
        yield label("setup_box.guards")
    if passage.chemistry:
        yield label("setup_box.chemistry")


def _step(step: Step) -> dict[str, str]:
    return {
        "do": step.do,
        "look_for": label("setup_step.look-for", text=step.look_for) if step.look_for else "",
        "caution": label("setup_step.caution", text=step.caution) if step.caution else "",
    }


def _thousands(count: int) -> str:
    return f"{count:,}".replace(",", "\u00a0")
