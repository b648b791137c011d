"""What is filled in about the files of a job: which they are, which page, and where the work lies on the sheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from filmsplit.actions.kept_work import work_of
from filmsplit.actions.shop import Shop
from filmsplit.actions.work import WorkAsked
from filmsplit.artwork import Turn
from filmsplit.formats.coverage_limits import HIGHEST_DPI, LONGEST_MM, LOWEST_DPI
from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.messages import Problem, Refusal, label
from filmsplit.web.length_fields import LENGTHS

WORK = "work"
PLACE = ("page", "dpi", "sheet_long", "sheet_wide", "gripper", "lead", "side", "turn")
"""The fields of files; nothing of them counts for typed figures."""
MOST_PAGES = 100_000
RANGES = {
    "page": (1.0, float(MOST_PAGES)),
    "dpi": (LOWEST_DPI, HIGHEST_DPI),
    "sheet_long": (10.0, LONGEST_MM),
    "sheet_wide": (10.0, LONGEST_MM),
    "gripper": (0.0, 100.0),
    "lead": (-LONGEST_MM, LONGEST_MM),
    "side": (-LONGEST_MM, LONGEST_MM),
}
Numbers = Callable[[str], float | None]


def codes_in(sent: Mapping[str, str]) -> tuple[str, ...]:
    """The codes of the files of the job, each once."""
    return tuple(dict.fromkeys(sent.get(WORK, "").split()))


def files_in(sent: Mapping[str, str], shop: Shop, *, number: Numbers) -> WorkAsked:
    """The kept files as work, laid as told. ``number`` reads a field. :class:`Refusal` naming what cannot be."""
    page, resolution = _within("page", number), _within("dpi", number)
    long, wide = _within("sheet_long", number), _within("sheet_wide", number)
    if (long is None) != (wide is None):
        raise Refusal(Problem("web-job-sheet-half"))
    if page is not None and page != int(page):
        raise _out_of_range("page", page)
    inks = tuple(each.strip() for each in sent.get("ink", "").split(",") if each.strip())
    told = WorkAsked(
        what=(),
        sheet_mm=None if long is None or wide is None else (long, wide),
        gripper_mm=_within("gripper", number) or 0.0,
        lead_mm=_within("lead", number),
        side_mm=_within("side", number),
        turn=_turn(sent.get("turn", "")),
        resolution_dpi=resolution,
        pdf=PdfAsked(page=None if page is None else int(page)),
        inks=inks,
    )
    return work_of(shop, codes_in(sent), told)


def _turn(text: str) -> Turn:
    known = {str(each.value): each for each in Turn}
    if text and text not in known:
        raise Refusal(Problem("web-job-number", {"field": label("web_works.turn"), "given": text[:40]}))
    return known[text] if text else Turn.NONE


def _within(name: str, number: Numbers) -> float | None:
    value = number(name)
    if value is None:
        return None
    low, high = RANGES[name]
    if not low <= value <= high:
        raise _out_of_range(name, value)
    return value


def _out_of_range(name: str, value: float) -> Refusal:
    low, high = RANGES[name]
    words = label(f"web_works.{name}")
    told = {"field": words, "given": value, "low": low, "high": high}
    return Refusal(Problem("web-job-range", told | ({"unit": "mm"} if name in LENGTHS else {})))
