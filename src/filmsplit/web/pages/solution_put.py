"""The forms of fountain solution: a sample, a titration line, what the maker of the concentrate asks for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.people import people
from filmsplit.actions.solution import Telling, put_sample, put_titration, say_solution_bands, solution_of
from filmsplit.actions.solution_checks import DOUBTS
from filmsplit.condition.solution import Where
from filmsplit.condition.solution_bands import Band
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press
from filmsplit.units.writing import format_temperature
from filmsplit.web.addresses import solution_address
from filmsplit.web.clock import book_of
from filmsplit.web.forms import ours
from filmsplit.web.look import Look, look_of
from filmsplit.web.pages.rounds import Sent, new_key
from filmsplit.web.pages.solution import press_of
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.visitor import person_of
from filmsplit.web.solution_fields import DOSES, bands_in, doses_in, sample_in

router = APIRouter(include_in_schema=False)

STATES = ("in-use", "fresh")
LONGEST_NAME = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class SamplePage:
    """A sample to be put on record. ``doubted``: only a yes is missing. ``units`` are empty where there is but one."""

    template: ClassVar[str] = "solution_sample.html"
    place: ClassVar[str] = "presses"

    press: str
    back: str
    wheres: tuple[Where, ...]
    states: tuple[str, ...]
    units: tuple[str, ...]
    people: tuple[str, ...]
    problems: tuple[Problem, ...]
    doubted: bool
    sent: Mapping[str, str]
    key: str

    @property
    def title(self) -> str:
        return label("web_solution.sample_title")


@dataclass(frozen=True, slots=True, kw_only=True)
class TitrationPage:
    """A titration line to be put on record."""

    template: ClassVar[str] = "solution_titration.html"
    place: ClassVar[str] = "presses"

    press: str
    back: str
    doses: tuple[str, ...]
    people: tuple[str, ...]
    problems: tuple[Problem, ...]
    sent: Mapping[str, str]
    key: str

    @property
    def title(self) -> str:
        return label("web_solution.titration_title")


@dataclass(frozen=True, slots=True, kw_only=True)
class BandsPage:
    """What the solution is held to, to be said anew."""

    template: ClassVar[str] = "solution_bands.html"
    place: ClassVar[str] = "presses"

    press: str
    back: str
    people: tuple[str, ...]
    problems: tuple[Problem, ...]
    sent: Mapping[str, str]
    key: str

    @property
    def title(self) -> str:
        return label("web_solution.bands_title")


@router.get("/solution/{name}/sample")
def ask_sample(request: Request, name: str) -> Response:
    """A sample to be told: of a pan in use, until something else is touched."""
    return _show_sample(request, name, sent={"where": Where.PAN.value, "state": STATES[0]})


@router.post("/solution/{name}/sample", dependencies=[Depends(ours)])
def put(request: Request, name: str, *, sent: Sent) -> Response:
    """Put a sample on record, or say everything that stands in the way."""
    press, look, book = press_of(request, name), look_of(request), book_of(bench_of(request).shop)
    telling = Telling(sure=sent.get("sure") == "yes", key=sent.get("key", ""), written=look.conductivities)
    try:
        sample = sample_in(sent, press=press, day=book.day, look=look, person=_person(request, sent))
        done = put_sample(press, sample, book=book, telling=telling)
    except Refusal as refusal:
        return _show_sample(request, name, sent=sent, problems=refusal.problems)
    return RedirectResponse(f"{solution_address(name)}?just={done.number}", 303)


@router.get("/solution/{name}/titration")
def ask_titration(request: Request, name: str) -> Response:
    """A titration line to be told."""
    return _show_titration(request, name, sent={})


@router.post("/solution/{name}/titration", dependencies=[Depends(ours)])
def put_line(request: Request, name: str, *, sent: Sent) -> Response:
    """Put a titration line on record."""
    press, look, book = press_of(request, name), look_of(request), book_of(bench_of(request).shop)
    telling = Telling(key=sent.get("key", ""), written=look.conductivities)
    try:
        doses = doses_in(sent, look=look)
        put_titration(press, doses, book=book, person=_person(request, sent), telling=telling)
    except Refusal as refusal:
        return _show_titration(request, name, sent=sent, problems=refusal.problems)
    return RedirectResponse(solution_address(name), 303)


@router.get("/solution/{name}/bands")
def ask_bands(request: Request, name: str) -> Response:
    """What the maker asks for, with what holds now filled in."""
    look = look_of(request)
    own = solution_of(press_of(request, name), book=book_of(bench_of(request).shop)).bands
    sent = {"product": own.product} | _ends(own.ph, own.temperature_c, look=look)
    return _show_bands(request, name, sent=sent)


@router.post("/solution/{name}/bands", dependencies=[Depends(ours)])
def put_bands(request: Request, name: str, *, sent: Sent) -> Response:
    """Put the bands on record."""
    press, book = press_of(request, name), book_of(bench_of(request).shop)
    try:
        bands, person = bands_in(sent, look=look_of(request)), _person(request, sent)
        say_solution_bands(press, bands, book=book, person=person, key=sent.get("key", ""))
    except Refusal as refusal:
        return _show_bands(request, name, sent=sent, problems=refusal.problems)
    return RedirectResponse(solution_address(name), 303)


def _show_sample(
    request: Request, name: str, *, sent: Mapping[str, str], problems: tuple[Problem, ...] = ()
) -> Response:
    press = press_of(request, name)
    page = SamplePage(
        press=_called(press),
        back=solution_address(name),
        wheres=tuple(Where),
        states=STATES,
        units=tuple(each.id for each in press.units) if len(press.units) > 1 else (),
        people=people(book_of(bench_of(request).shop)),
        problems=problems,
        doubted=bool(problems) and all(each.slug in DOUBTS for each in problems),
        sent=sent,
        key=_key(sent, problems),
    )
    return bench_of(request).show(request, page, status=422 if problems else 200)


def _show_titration(
    request: Request, name: str, *, sent: Mapping[str, str], problems: tuple[Problem, ...] = ()
) -> Response:
    page = TitrationPage(
        press=_called(press_of(request, name)),
        back=solution_address(name),
        doses=DOSES,
        people=people(book_of(bench_of(request).shop)),
        problems=problems,
        sent=sent,
        key=_key(sent, problems),
    )
    return bench_of(request).show(request, page, status=422 if problems else 200)


def _show_bands(
    request: Request, name: str, *, sent: Mapping[str, str], problems: tuple[Problem, ...] = ()
) -> Response:
    page = BandsPage(
        press=_called(press_of(request, name)),
        back=solution_address(name),
        people=people(book_of(bench_of(request).shop)),
        problems=problems,
        sent=sent,
        key=_key(sent, problems),
    )
    return bench_of(request).show(request, page, status=422 if problems else 200)


def _called(press: Press) -> str:
    return press.name or press.id


def _key(sent: Mapping[str, str], problems: tuple[Problem, ...]) -> str:
    """The key of the form until it was used for something else."""
    used = any(each.slug == "submit-key-used" for each in problems)
    return new_key() if used else sent.get("key") or new_key()


def _person(request: Request, sent: Mapping[str, str]) -> str:
    return person_of(request, sent.get("name", "").strip()[:LONGEST_NAME] or sent.get("known", "")[:LONGEST_NAME])


def _ends(ph: Band | None, warm: Band | None, *, look: Look) -> dict[str, str]:
    """The ends of the bands as they would be typed."""
    found = {} if ph is None else {"ph_low": f"{ph.low:g}", "ph_high": f"{ph.high:g}"}
    if warm is not None:
        for name, celsius in (("warm_low", warm.low), ("warm_high", warm.high)):
            found[name] = format_temperature(celsius, look.temperatures).partition(" ")[0]
    return found
