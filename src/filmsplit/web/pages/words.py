"""Words of the trade, and what is found by one word anywhere in the workbench."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.procedures import own_procedures
from filmsplit.actions.words import look_up
from filmsplit.library.glossary import Entry, entries
from filmsplit.messages import label
from filmsplit.web.addresses import procedure_address
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class WordsPage:
    """The whole glossary, or the entries nearest to what was asked for."""

    template: ClassVar[str] = "words.html"
    place: ClassVar[str] = "words"

    asked: str
    entries: tuple[Entry, ...]
    procedures: tuple[tuple[str, str], ...]

    @property
    def title(self) -> str:
        return label("web.words")


@router.get("/words")
def words(request: Request, asked: str = "") -> Response:
    """The glossary, or what it has on a word."""
    asked = asked.strip()[:80]
    found = look_up(asked) if asked else entries()
    known = tuple((procedure_address(each.id), each.title) for each in own_procedures())
    return bench_of(request).show(request, WordsPage(asked=asked, entries=found, procedures=known))
