"""A page from what it shows: a typed record into its template, the template into an answer."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Any, ClassVar, Protocol

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse

from filmsplit import __version__
from filmsplit.actions.shop import Shop
from filmsplit.messages import label
from filmsplit.units.conductivity import format_conductivity
from filmsplit.units.writing import format_length, format_temperature
from filmsplit.web.help import help_of
from filmsplit.web.length_fields import as_typed, reads_inches
from filmsplit.web.look import Look, look_of
from filmsplit.web.session import Sessions
from filmsplit.web.shop_mode.access import Access
from filmsplit.web.shop_mode.visitor import visitor_of

TEMPLATES = Path(__file__).parent / "templates"

MENU = ("today", "presses", "rollers", "jobs", "rounds", "history", "words")
"""The places of the menu, in the order of a day; each has its label and its address."""
ADDRESSES = {
    "today": "/",
    "presses": "/presses",
    "rollers": "/rollers",
    "jobs": "/jobs",
    "rounds": "/rounds",
    "history": "/history",
    "words": "/words",
}


class Page(Protocol):
    """What a page shows. ``template`` is its file, ``place`` the menu entry it belongs to, ``title`` its heading."""

    template: ClassVar[str]
    place: ClassVar[str]

    @property
    def title(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Bench:
    """What every page needs besides its own record: the shop that is served, and who may send forms back."""

    shop: Shop
    sessions: Sessions
    access: Access | None = None

    def show(self, request: Request, page: Page, *, status: int = 200) -> HTMLResponse:
        """The page as HTML, with the token that its forms send back."""
        session, look = self.sessions.id_of(request), look_of(request)
        values = {each.name: getattr(page, each.name) for each in fields(page)}  # type: ignore[arg-type]
        html = (
            _environment()
            .get_template(page.template)
            .render(
                values
                | {"title": page.title, "place": page.place, "look": look, "token": self.sessions.token(session)}
                | {"path": request.url.path, "length": _lengths(look), "warmth": _warmths(look)}
                | {"conductivity": _conductivities(look)}
                | {"visitor": visitor_of(request), "help": help_of(page.template)}
            )
        )
        response = HTMLResponse(html, status)
        self.sessions.keep(response, session)
        return response


def bench_of(request: Request) -> Bench:
    """The bench of the application a request came to."""
    bench: Bench = request.app.state.bench
    return bench


def _lengths(look: Look) -> Any:
    def length(mm: float | None, decimals: int | None = None) -> str:
        """A length in the units this person reads; a dash where nobody knows it."""
        return label("web.unknown") if mm is None else format_length(mm, look.lengths, decimals=decimals)

    return length


def _warmths(look: Look) -> Any:
    def warmth(celsius: float | None) -> str:
        """A temperature in the units this person reads; a dash where nobody knows it."""
        return label("web.unknown") if celsius is None else format_temperature(celsius, look.temperatures)

    return warmth


def _conductivities(look: Look) -> Any:
    def conductivity(us_per_cm: float | None) -> str:
        """A conductivity in the unit this person reads; a dash where nobody read it."""
        return label("web.unknown") if us_per_cm is None else format_conductivity(us_per_cm, look.conductivities)

    return conductivity


@cache
def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(as_typed=as_typed, reads_inches=reads_inches)
    made.globals.update(label=label, menu=MENU, addresses=ADDRESSES, version=__version__)
    return made
