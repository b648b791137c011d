"""What is filled in about the files of a job: which they are, which page, and where the work lies on the sheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from filmsplit.actions.kept_work import work_of
from filmsplit.actions.shop import Shop
from filmsplit.actions.work import WorkAsked
from filmsplit.artwork import StepAndRepeat, Turn, WorkStyle
from filmsplit.formats.coverage_limits import HIGHEST_DPI, LONGEST_MM, LOWEST_DPI
from filmsplit.formats.pdf.asked import PageBox, PdfAsked
from filmsplit.messages import Problem, Refusal, label
from filmsplit.web.length_fields import LENGTHS

WORK = "work"
PLACE = ("page", "dpi", "sheet_long", "sheet_wide", "gripper", "lead", "side", "turn")
FILM = ("box", "mirrored", "negative", "times_down", "times_across", "step_down", "step_across", "back")
"""How the file is to be taken, and how often it stands on the plate."""
PASSES = "passes"
OF_FILES = (*PLACE, *FILM, PASSES)
"""The fields of files; nothing of them counts for typed figures."""
MOST_TIMES = 50
BACKS = {"turn": WorkStyle.WORK_AND_TURN, "tumble": WorkStyle.WORK_AND_TUMBLE}
BOXES = {each.value: each for each in PageBox}
TURNS = {str(each.value): each for each in Turn}
YES = {"yes": True}
MOST_PAGES = 100_000
RANGES = {
    "page": (1.0, float(MOST_PAGES)),
    "dpi": (LOWEST_DPI, HIGHEST_DPI),
    "sheet_long": (10.0, LONGEST_MM),
    "sheet_wide": (10.0, LONGEST_MM),
    "gripper": (0.0, 100.0),
    "lead": (-LONGEST_MM, LONGEST_MM),
    "side": (-LONGEST_MM, LONGEST_MM),
    "times_down": (1.0, float(MOST_TIMES)),
    "times_across": (1.0, float(MOST_TIMES)),
    "step_down": (0.0, LONGEST_MM),
    "step_across": (0.0, LONGEST_MM),
}
Word = TypeVar("Word")
Numbers = Callable[[str], float | None]


def codes_in(sent: Mapping[str, str]) -> tuple[str, ...]:
    """The codes of the files of the job, each once."""
    return tuple(dict.fromkeys(sent.get(WORK, "").split()))


def files_in(sent: Mapping[str, str], shop: Shop, *, number: Numbers) -> WorkAsked:
    """The kept files as work, laid as told. ``number`` reads a field. :class:`Refusal` naming what cannot be."""
    page, resolution = _whole("page", number), _within("dpi", number)
    long, wide = _within("sheet_long", number), _within("sheet_wide", number)
    if (long is None) != (wide is None):
        raise Refusal(Problem("web-job-sheet-half"))
    inks = tuple(each.strip() for each in sent.get("ink", "").split(",") if each.strip())
    told = WorkAsked(
        what=(),
        sheet_mm=None if long is None or wide is None else (long, wide),
        gripper_mm=_within("gripper", number) or 0.0,
        lead_mm=_within("lead", number),
        side_mm=_within("side", number),
        turn=_one_of("turn", sent, TURNS, otherwise=Turn.NONE),
        mirrored=_one_of("mirrored", sent, YES, otherwise=False),
        negative=_one_of("negative", sent, YES, otherwise=False),
        repeat=_repeat(number),
        style=_one_of("back", sent, BACKS, otherwise=WorkStyle.SHEETWISE),
        resolution_dpi=resolution,
        pdf=PdfAsked(page=page, box=_one_of("box", sent, BOXES, otherwise=PageBox.CROP)),
        inks=inks,
    )
    return work_of(shop, codes_in(sent), told)


def passes_in(sent: Mapping[str, str]) -> tuple[tuple[tuple[str, str], ...], ...]:
    """Which unit prints which ink, pass by pass, as in ``A=black, B=red; A=green``. :class:`Refusal` where unclear."""
    found = []
    for text in filter(None, (each.strip() for each in sent.get(PASSES, "").split(";"))):
        pairs = [tuple(side.strip() for side in pair.split("=")) for pair in text.split(",")]
        if not all(len(pair) == 2 and all(pair) for pair in pairs):
            raise Refusal(Problem("web-job-passes", {"given": text[:60]}))
        found.append(tuple((pair[0], pair[1]) for pair in pairs))
    return tuple(found)


def _repeat(number: Numbers) -> StepAndRepeat:
    """How often and how far apart. :class:`Refusal` where a second one has no step: they would lie on each other."""
    down, across = _whole("times_down", number) or 1, _whole("times_across", number) or 1
    step_down_mm, step_across_mm = _within("step_down", number), _within("step_across", number)
    for times, step_mm, name in ((down, step_down_mm, "step_down"), (across, step_across_mm, "step_across")):
        if times > 1 and not step_mm:
            raise Refusal(Problem("web-job-step", {"field": label(f"web_works.{name}")}))
    return StepAndRepeat(
        times_round=down, times_across=across, step_round_mm=step_down_mm or 0.0, step_across_mm=step_across_mm or 0.0
    )


def _one_of(name: str, sent: Mapping[str, str], known: Mapping[str, Word], *, otherwise: Word) -> Word:
    """What a word stands for; :class:`Refusal` where it is none of the list."""
    text = sent.get(name, "")
    if text and text not in known:
        raise Refusal(Problem("web-job-choice", {"field": label(f"web_works.{name}"), "given": text[:40]}))
    return known[text] if text else otherwise


def _whole(name: str, number: Numbers) -> int | None:
    value = _within(name, number)
    if value is not None and value != int(value):
        raise _out_of_range(name, value)
    return None if value is None else int(value)


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
