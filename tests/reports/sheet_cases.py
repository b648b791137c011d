"""The made sheets and papers that the text and the looks of the set-up sheet are held to."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

from filmsplit.reports.setup_pdf import setup_pdf
from filmsplit.reports.setup_sheet import SetupSheet
from filmsplit.reports.typeset import Paper
from reports.made_sheets import bare_sheet, full_sheet, long_fountain_sheet, sheet
from reports.pages import Page, pages

GOLD = Path(__file__).parent / "gold"
SHEETS: dict[str, Callable[[], SetupSheet]] = {
    "full": full_sheet,
    "turns": sheet,
    "bare": bare_sheet,
    "long-fountain": long_fountain_sheet,
}
CASES = [(name, paper) for name in SHEETS for paper in Paper]


@cache
def pdf_of(name: str, paper: Paper) -> bytes:
    return setup_pdf(SHEETS[name](), paper=paper)


@cache
def pages_of(name: str, paper: Paper) -> list[Page]:
    return pages(pdf_of(name, paper))


def gold_file(name: str, paper: Paper) -> Path:
    return GOLD / f"{name}-{paper.value}.txt"


def text_of(name: str, paper: Paper) -> str:
    """All pages one below the other, each under its number; no blanks at the ends of lines."""
    parts = []
    for number, page in enumerate(pages_of(name, paper), start=1):
        lines = (line.rstrip() for line in page.text.split("\n"))
        parts.append("\n".join([f"=== page {number} ===", *(line for line in lines if line)]))
    return "\n".join(parts) + "\n"
