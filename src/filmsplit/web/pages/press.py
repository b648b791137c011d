"""A press: its train as the map, what the map tells, and every roller in a table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from filmsplit.actions.map_tells import Telling
from filmsplit.actions.press_map import PressMap, map_of, telling_of
from filmsplit.actions.shop import kept_press
from filmsplit.messages import Problem, label
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.facts import facts_of
from filmsplit.press.surfaces import RollerFacts
from filmsplit.web.addresses import found_address, marks_address, place_address, press_address, solution_address
from filmsplit.web.clock import book_of
from filmsplit.web.map_places import map_places
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One of several things to choose, and its address."""

    name: str
    address: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PressPage:
    """One unit of a press as a map and as a table. ``problems`` are what the file should be told."""

    template: ClassVar[str] = "press.html"
    place: ClassVar[str] = "presses"

    name: str
    note: str
    invented: bool
    unit: str
    unit_id: str
    units: tuple[Choice, ...]
    tellings: tuple[Choice, ...]
    map: PressMap
    rollers: tuple[tuple[RollerFacts, str], ...]
    problems: tuple[Problem, ...]
    marks: str
    found: str
    solution: str

    @property
    def title(self) -> str:
        return self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class UnusablePage:
    """A press file that cannot be used, and everything that is wrong with it."""

    template: ClassVar[str] = "unusable.html"
    place: ClassVar[str] = "presses"

    name: str
    address: str
    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return self.name


@router.get("/presses/{name}")
def press(request: Request, name: str) -> Response:
    """The first unit of a press, or what is wrong with its file."""
    bench = bench_of(request)
    kept = kept_press(bench.shop, name)
    if kept.press is None:
        return bench.show(request, UnusablePage(name=name, address=press_address(name), problems=kept.problems))
    return RedirectResponse(press_address(name, kept.press.units[0].id), 303)


@router.get("/presses/{name}/{unit}")
def unit(request: Request, name: str, *, unit: str, tells: str = "") -> Response:
    """A unit of a press as a map."""
    bench = bench_of(request)
    kept = kept_press(bench.shop, name)
    if kept.press is None:
        return bench.show(request, UnusablePage(name=name, address=press_address(name), problems=kept.problems))
    found, telling = units_asked(kept.press, unit)[0], telling_of(tells)
    drawn = map_of(kept.press, found, telling=telling, places=map_places(name, found), book=book_of(bench.shop))
    return bench.show(request, _page(name, kept.press, unit=found, drawn=drawn, problems=kept.problems))


def _page(name: str, press: Press, *, unit: Unit, drawn: PressMap, problems: tuple[Problem, ...]) -> PressPage:
    facts = facts_of(press).unit(unit.id)
    return PressPage(
        name=press.name or press.id,
        note=press.note,
        invented=press.invented,
        unit=unit.name or unit.id,
        unit_id=unit.id,
        units=tuple(
            Choice(name=each.name or each.id, address=press_address(name, each.id), chosen=each.id == unit.id)
            for each in press.units
        ),
        tellings=tuple(
            Choice(
                name=label(f"web_tells.{each.value}"),
                address=press_address(name, unit.id, tells=each.value),
                chosen=each is drawn.telling,
            )
            for each in Telling
        ),
        map=drawn,
        rollers=tuple((each, place_address(name, unit.id, roller=each.id)) for each in facts.rollers),
        problems=problems,
        marks=marks_address(name, unit.id),
        found=found_address(name, unit.id),
        solution=solution_address(name),
    )
