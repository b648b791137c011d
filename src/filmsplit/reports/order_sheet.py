"""The order for a roller on paper: all a supplier needs, lines for what is missing, and one to sign on."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.messages import label
from filmsplit.reports.fields import printed
from filmsplit.reports.typeset import Paper, typeset

WORDS = (
    "heading", "not-to-be-sent", "shop", "supplier", "contact", "number", "quantity", "wanted", "as-wanted", "what",
    "value", "missing", "compare", "remarks", "name", "signature", "day",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderSheet:
    """What the order for one roller shows."""

    roller: str = printed("mark of the roller, as stamped at the journal")
    role: str = printed("what it is for; empty where nobody said")
    invented: bool = printed("whether the roller is of a demo press")
    rows: tuple[tuple[str, str], ...] = printed("name with its unit, and value, of everything that is known")
    missing: tuple[str, ...] = printed("names of what a supplier will ask for and nobody has said")
    stands_against: tuple[str, ...] = printed("why it cannot be made as written; with any, it is not to be sent")


def order_sheet_pdf(sheet: OrderSheet, *, paper: Paper) -> bytes:
    """The order as a PDF on ``paper``, upright, printed in black."""
    words = {word: label(f"order_paper.{word}") for word in WORDS}
    words |= {"page": label("setup_sheet.page"), "invented": label("setup_sheet.invented")}
    data = {
        "words": words,
        "title": f"{words['heading']}: {sheet.roller}",
        "roller": sheet.roller,
        "role": sheet.role,
        "invented": sheet.invented,
        "rows": [list(row) for row in sheet.rows],
        "missing": list(sheet.missing),
        "stands_against": list(sheet.stands_against),
    }
    return typeset("order_sheet.typ", data, paper=paper)
