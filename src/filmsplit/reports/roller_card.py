"""The card of a roller on paper: all that is on record about it, what it says, and what to do next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.figures.drawing import Drawing
from filmsplit.messages import label
from filmsplit.reports.fields import printed
from filmsplit.reports.setup_pdf import code_svg
from filmsplit.reports.typeset import Paper, typeset

WORDS = (
    "heading", "identity", "nothing-known", "verdict", "trend", "trend-key", "places", "entries",
    "no-entries", "code-alt",
)  # fmt: skip
PLACE_HEAD = ("since", "where")
ENTRY_HEAD = ("day", "kind", "about", "values", "temperature", "person", "remarks")
TextPair = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerCard:
    """What the card of one roller shows."""

    mark: str = printed("identity as stamped at the journal")
    code: str = printed("code that leads back to the register")
    role: str = printed("what it is for, and where it is; empty where nobody said")
    invented: bool = printed("whether the roller is of a demo press")
    as_of: str = printed("the day of the records")
    facts: tuple[TextPair, ...] = printed("name and value with its unit of everything known")
    verdict: str = printed("the word of the verdict")
    reasons: tuple[TextPair, ...] = printed("what was found, and the next step")
    notes: tuple[str, ...] = printed("what else belongs to the verdict, such as what was not read")
    forecast: tuple[str, ...] = printed("when the cover crosses its limit, in sentences")
    trend: Drawing | None = printed("picture of the trend; nothing where no hardness was read")
    places: tuple[TextPair, ...] = printed("day and place, the oldest first")
    entries: tuple[tuple[str, ...], ...] = printed("the newest entries, one row each")
    more: str = printed("how many entries are not shown; empty where all are")


def roller_cards_pdf(cards: Sequence[RollerCard], *, paper: Paper) -> bytes:
    """The cards as a PDF on ``paper``, upright, printed in black, each from a new page on."""
    words = {word: label(f"roller_card.{word}") for word in WORDS}
    words |= {"page": label("setup_sheet.page"), "invented": label("setup_sheet.invented")}
    data = {
        "words": words,
        "title": f"{words['heading']}: {', '.join(each.mark for each in cards)}",
        "place_head": [label(f"roller_card_head.{name}") for name in PLACE_HEAD],
        "entry_head": [label(f"roller_card_head.{name}") for name in ENTRY_HEAD],
        "cards": [_told(each) for each in cards],
    }
    return typeset("roller_card.typ", data, paper=paper)


def _told(card: RollerCard) -> dict[str, object]:
    drawing = card.trend
    return {
        "mark": card.mark,
        "code": card.code,
        "code_svg": code_svg(card.code),
        "role": card.role,
        "invented": card.invented,
        "as_of": card.as_of,
        "facts": [list(each) for each in card.facts],
        "verdict": card.verdict,
        "reasons": [list(each) for each in card.reasons],
        "notes": list(card.notes),
        "forecast": list(card.forecast),
        "trend": None if drawing is None else {"svg": drawing.svg, "width": drawing.width_mm, "alt": drawing.alt},
        "places": [list(each) for each in card.places],
        "entries": [list(each) for each in card.entries],
        "more": card.more,
    }
