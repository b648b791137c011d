"""The plan of a year on paper: the budget request first, then what is due month by month, then its prices."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.messages import label
from filmsplit.reports.fields import printed
from filmsplit.reports.typeset import Paper, typeset

WORDS = (
    "heading", "request", "rests-on", "covers", "months", "no-covers", "prices", "asked", "agreed", "signature", "day",
)  # fmt: skip
COVER_HEAD = ("roller", "crosses", "chance", "price", "recover")


@dataclass(frozen=True, slots=True, kw_only=True)
class YearPlanSheet:
    """What the plan of a year shows."""

    presses: str = printed("names of the presses")
    invented: bool = printed("whether any is a demo press")
    span: str = printed("first and last day")
    sums: tuple[tuple[str, str], ...] = printed("what to ask for, with its interval")
    covers: tuple[tuple[str, ...], ...] = printed("one row a cover with a forecast")
    without: str = printed("rollers without a forecast; empty where all have one")
    months: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = printed("months with their rows: day, and words")
    prices: tuple[tuple[str, str], ...] = printed("prices and amounts, each with its source")


def year_plan_pdf(sheet: YearPlanSheet, *, paper: Paper) -> bytes:
    """The plan as a PDF on ``paper``, upright, printed in black."""
    words = {word: label(f"year_plan.{word}") for word in WORDS}
    words |= {"page": label("setup_sheet.page"), "invented": label("setup_sheet.invented")}
    data = {
        "words": words,
        "title": f"{words['heading']}: {sheet.presses}",
        "presses": sheet.presses,
        "invented": sheet.invented,
        "span": sheet.span,
        "sums": [list(each) for each in sheet.sums],
        "cover_head": [label(f"year_plan_head.{name}") for name in COVER_HEAD],
        "covers": [list(each) for each in sheet.covers],
        "without": sheet.without,
        "months": [{"name": name, "lines": [list(each) for each in lines]} for name, lines in sheet.months],
        "prices": [list(each) for each in sheet.prices],
    }
    return typeset("year_plan.typ", data, paper=paper)
