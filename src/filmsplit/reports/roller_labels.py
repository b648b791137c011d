"""Labels for rollers: what is on the box and at the rack place, to cut out; a page holds ten."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.messages import label
from filmsplit.reports.fields import printed
from filmsplit.reports.setup_pdf import code_svg
from filmsplit.reports.typeset import Paper, typeset

WIDTH_MM, HEIGHT_MM = 90.0, 50.0
"""Two across and five down, on A4 and on Letter, clear of what office printers leave white."""

WORDS = ("heading", "code-alt", "invented", "store")


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerLabel:
    """What the label of one roller shows."""

    mark: str = printed("identity as stamped at the journal")
    code: str = printed("code that leads back to the register")
    role: str = printed("what it is for; empty where nobody said")
    place: str = printed("where it belongs: press, unit and place, or the rack; empty where nobody said")
    facts: tuple[tuple[str, str], ...] = printed("name and value of each fact that is known, with its unit")
    invented: bool = printed("whether the roller is of a demo press")


def roller_labels_pdf(labels: Sequence[RollerLabel], *, paper: Paper) -> bytes:
    """The labels as a PDF on ``paper``, upright."""
    words = {word: label(f"roller_label.{word}") for word in WORDS}
    data = {
        "words": words,
        "title": f"{words['heading']}: {', '.join(each.mark for each in labels)}",
        "width": WIDTH_MM,
        "height": HEIGHT_MM,
        "labels": [_told(each) for each in labels],
    }
    return typeset("roller_labels.typ", data, paper=paper)


def _told(each: RollerLabel) -> dict[str, object]:
    return {
        "mark": each.mark,
        "code": each.code,
        "code_svg": code_svg(each.code),
        "role": each.role,
        "place": each.place,
        "facts": [list(fact) for fact in each.facts],
        "invented": each.invented,
    }
