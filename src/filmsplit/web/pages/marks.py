"""Which roller leaves these marks: distances typed, or tapped on a picture of the sheet. Nothing is recorded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.marks import MatchedMarks, match
from filmsplit.actions.marks_told import SuspectLine, next_lines, percent_said, suspect_lines
from filmsplit.actions.shop import KeptPress, kept_press
from filmsplit.faults.marks import MOST_MARKS
from filmsplit.figures.marks_sheet import HEIGHT, WIDTH, draw_tapped, rule_of
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.units.reading import parse_length_mm
from filmsplit.web.addresses import marks_address, place_address, press_address
from filmsplit.web.look import Look, look_of
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)

RULED_SD_MM, TAPPED_SD_MM = 0.5, 2.0
"""How far a mark read on a rule, and one tapped with a finger, may be out (common practice)."""
_LONGEST = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksPage:
    """The marks so far (mm from the lead edge) with the address that takes each away, and what they say."""

    template: ClassVar[str] = "marks.html"
    place: ClassVar[str] = "presses"

    press: str
    back: str
    here: str
    picture: str
    size_px: tuple[int, int]
    marks: tuple[tuple[float, str], ...]
    at: str
    tapped: bool
    sd_mm: float
    finding: str
    suspects: tuple[tuple[SuspectLine, str], ...]
    unlisted: str
    steps: tuple[str, ...]
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return label("web_marks.title")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """The marks of an address, whether any was tapped, and what could not be read."""

    marks_mm: tuple[float, ...]
    tapped: bool
    problems: tuple[Problem, ...] = ()


@router.get("/presses/{name}/{unit}/marks")
def marks(request: Request, name: str, *, unit: str) -> Response:
    """The marks of the address matched with the rollers of the unit."""
    bench = bench_of(request)
    kept, press, where = _place(kept_press(bench.shop, name), unit)
    told = _told(request.query_params, press, where, look=look_of(request))
    problems, matched = list(told.problems), None
    try:
        matched = _matched(kept, where, told)
    except Refusal as refusal:
        problems += refusal.problems
    page = _page(name, press, where, told=told, matched=matched, problems=tuple(problems))
    return bench.show(request, page, status=422 if problems else 200)


@router.get("/presses/{name}/{unit}/marks/sheet.svg")
def picture(request: Request, name: str, *, unit: str) -> Response:
    """The sheet with the marks of the address."""
    kept, press, where = _place(kept_press(bench_of(request).shop, name), unit)
    told = _told(request.query_params, press, where, look=look_of(request))
    try:
        matched = _matched(kept, where, told)
    except Refusal:
        matched = None  # the page beside it says why
    drawn = draw_tapped(press, where, told.marks_mm, match=None if matched is None else matched.match)
    return Response(drawn.svg, media_type="image/svg+xml")


def _place(kept: KeptPress, unit: str) -> tuple[KeptPress, Press, Unit]:
    if kept.press is None:
        raise Refusal(kept.problems)
    return kept, kept.press, units_asked(kept.press, unit)[0]


def _told(sent: Mapping[str, str], press: Press, unit: Unit, *, look: Look) -> _Told:
    """Marks kept in ``at``, one typed in ``typed``, one tapped at ``tap.y``."""
    found, problems = list[float](), list[Problem]()
    for word in sent.get("at", "")[:_LONGEST].split():
        _add(found, word, problems, unit="mm")
    tapped = sent.get("tapped", "") == "yes"
    typed, height = sent.get("typed", "").strip()[:40], sent.get("tap.y", "")[:6]
    if typed:
        _add(found, typed, problems, unit=look.lengths.value)
    elif height.isascii() and height.isdecimal():
        found.append(round(rule_of(press, unit).mm(float(height)), 1))
        tapped = True
    kept = tuple(sorted(set(found)))[:MOST_MARKS]
    return _Told(marks_mm=kept, tapped=tapped and bool(kept), problems=tuple(problems))


def _add(found: list[float], word: str, problems: list[Problem], *, unit: str) -> None:
    try:
        found.append(round(parse_length_mm(word, unit=unit), 2))
    except Refusal as refusal:
        problems += refusal.problems


def _matched(kept: KeptPress, unit: Unit, told: _Told) -> MatchedMarks | None:
    if not told.marks_mm:
        return None
    return match(str(kept.path), told.marks_mm, unit=unit.id, reading_sd_mm=_sd_mm(told))


def _sd_mm(told: _Told) -> float:
    return TAPPED_SD_MM if told.tapped else RULED_SD_MM


def _page(  # noqa: PLR0913 - all but three are asked for by name
    name: str, press: Press, unit: Unit, *, told: _Told, matched: MatchedMarks | None, problems: tuple[Problem, ...]
) -> MarksPage:
    here = marks_address(name, unit.id)
    query = _query(told.marks_mm, tapped=told.tapped)
    return MarksPage(
        press=press.name or press.id,
        back=press_address(name, unit.id),
        here=here,
        picture=marks_address(name, unit.id, picture=True) + query,
        size_px=(int(WIDTH), int(HEIGHT)),
        marks=tuple((mm, here + _query(_without(told.marks_mm, mm), tapped=told.tapped)) for mm in told.marks_mm),
        at=" ".join(f"{mm:g}" for mm in told.marks_mm),
        tapped=told.tapped,
        sd_mm=_sd_mm(told),
        finding="" if matched is None else matched.match.finding.text,
        suspects=() if matched is None else tuple(_linked(name, unit, matched)),
        unlisted="" if matched is None else percent_said(matched.match.unlisted),
        steps=() if matched is None else tuple(next_lines(matched)),
        problems=(*problems, *(() if matched is None else matched.match.notes)),
    )


def _without(marks_mm: tuple[float, ...], mm: float) -> tuple[float, ...]:
    return tuple(each for each in marks_mm if each != mm)


def _query(marks_mm: tuple[float, ...], *, tapped: bool) -> str:
    if not marks_mm:
        return ""
    kept = {"at": " ".join(f"{mm:g}" for mm in marks_mm)}
    return "?" + urlencode(kept | ({"tapped": "yes"} if tapped else {}))


def _linked(name: str, unit: Unit, matched: MatchedMarks) -> list[tuple[SuspectLine, str]]:
    known = {each.id for each in unit.rollers}
    return [
        (line, place_address(name, unit.id, roller=line.roller) if line.roller in known else "")
        for line in suspect_lines(matched)
    ]
