"""A roller of the register: who it is, the verdict on it, where it has been, what was read."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import ClassVar

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from filmsplit.actions.places import PARTED
from filmsplit.actions.register import RollerPage as OnRecord
from filmsplit.actions.register import page
from filmsplit.actions.today import history_in
from filmsplit.condition.verdict import RollerVerdict, judge
from filmsplit.library.roller_limits import care_table
from filmsplit.messages import Problem, Refusal, label, numbers_read, unit_read
from filmsplit.records.kinds import KINDS
from filmsplit.records.roller_facts import RollerFacts, fact_rows
from filmsplit.web.clock import book_of
from filmsplit.web.render import bench_of

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryLine:
    """One entry of the records as it is read out."""

    day: str
    kind: str
    said: str
    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerPage:
    """A roller. ``verdict`` is ``None`` for a retired one: nobody judges it any more."""

    template: ClassVar[str] = "roller.html"
    place: ClassVar[str] = "rollers"

    mark: str
    code: str
    invented: bool
    verdict: RollerVerdict | None
    facts: tuple[tuple[str, str], ...]
    places: tuple[tuple[str, str], ...]
    entries: tuple[EntryLine, ...]
    more: int

    @property
    def title(self) -> str:
        return self.mark


@router.get("/rollers/{mark}")
def roller(request: Request, mark: str) -> Response:
    """One roller, by what is stamped at its journal or by the code on its label."""
    bench = bench_of(request)
    book = book_of(bench.shop)
    if PARTED in mark:  # a place on a press file, which no address may name
        raise Refusal(Problem("roller-not-found", {"asked": mark}))
    found = page(mark, book=book)
    history = next((each for each in history_in(book).rollers if each.id == found.roller.mark), None)
    verdict = None if history is None else judge(history, care_table(None))
    return bench.show(request, roller_page(found, verdict))


def roller_page(found: OnRecord, verdict: RollerVerdict | None) -> RollerPage:
    """What is on record as a page, the newest first."""
    return RollerPage(
        mark=found.roller.mark,
        code=found.roller.code,
        invented=found.roller.invented,
        verdict=verdict,
        facts=tuple(_facts(found.roller.facts)),
        places=tuple(
            (each.day.isoformat(), str(each.at or label(f"whereabouts.{each.whereabouts.name.lower()}")))
            for each in reversed(found.history)
        ),
        entries=tuple(_lines(found)),
        more=sum(found.counts.values()) - len(found.entries),
    )


def _facts(facts: RollerFacts) -> list[tuple[str, str]]:
    rows, known = fact_rows(), {each.name: getattr(facts, each.name) for each in fields(facts)}
    return [
        (rows[name].help.partition(":")[0], _figure(value, rows[name].unit) if isinstance(value, float) else str(value))
        for name, value in known.items()
        if value not in (None, "")
    ]


def _figure(value: float, unit: str) -> str:
    return f"{numbers_read(f'{value:g}', unit)} {unit_read(unit)}"


def _lines(found: OnRecord) -> list[EntryLine]:
    lines = []
    for each in reversed(found.entries):
        unit, values = KINDS[each.kind].unit, " / ".join(f"{value:g}" for value in each.values)
        said = f"{numbers_read(values, unit)} {unit_read(unit)}" if each.points else each.grade or each.product
        lines.append(EntryLine(day=each.day.isoformat(), kind=each.kind, said=said.strip(), person=each.person))
    return lines
