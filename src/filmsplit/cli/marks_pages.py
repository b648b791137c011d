"""What `marks` and `repeats` print."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.padding import Padding

from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, table
from filmsplit.faults.places import MarkPlaces
from filmsplit.faults.result import MarkMatch, RankedSuspect
from filmsplit.faults.steps import NextStep
from filmsplit.faults.suspects import Suspect
from filmsplit.faults.travel import Walk
from filmsplit.messages import label
from filmsplit.press import Press, Unit

_MOST_SHOWN = 6
_LEAST_SHOWN = 0.005
_STANDS_MM = 0.05
"""A walk no rule can show."""
_INDENT = (0, 0, 0, 2)


def print_match(press: Press, found: MarkMatch) -> None:
    """The suspects in order, whether they can be told apart, what each would do next, what to measure."""
    out = console()
    out.print(f"[bold]{press.name or press.id}[/]: {label('marks.read', marks=_marks(found))}")
    out.print(_suspects(press, found))
    out.print(f"[bold]{found.finding.text}[/]")
    print_steps(found.next_steps, out=out)
    if found.notes:
        out.print()
        echo_problems(found.notes)


def print_steps(steps: Iterable[NextStep], *, out: Console) -> None:
    """What to do next, each step with the state the press must be in."""
    steps = tuple(steps)
    if not steps:
        return
    out.print()
    out.print(f"[bold]{label('marks.next')}[/]")
    for number, step in enumerate(steps, start=1):
        out.print(Padding(f"{number}. [{step.state.text}] {step.text}", _INDENT), markup=False)


def print_places(found: MarkPlaces) -> None:
    """Where a mark of one member comes, sheet by sheet."""
    out = console()
    out.print(label("marks.repeats_every", part=suspect_name(found.suspect), mm=f"{found.suspect.repeat_mm:.1f}"))
    made = table(
        (label("marks.sheet"), "right"),
        (label("marks.from_edge"), "right"),
        (label("marks.sd"), "right"),
        (label("marks.seen"), "left"),
    )
    for place in found.places:
        made.add_row(str(place.sheet), f"{place.mm:.1f}", f"{place.sd_mm:.1f}", place.seen.text)
    out.print(made)
    out.print(label("marks.walk", walk=_walks(found.walks)))


def suspect_name(suspect: Suspect, unit: Unit | None = None) -> str:
    """The part in words; a single roller also by the shop's name for it."""
    text = label(f"mark_suspect.{suspect.kind.value}", members=", ".join(suspect.members), unit=suspect.unit)
    if unit is None or not suspect.is_roller or len(suspect.members) != 1:
        return text
    name = unit.roller(suspect.members[0]).name
    return text if name in ("", suspect.members[0]) else f"{text}: {name}"


def _suspects(press: Press, found: MarkMatch) -> object:
    made = table(
        (label("marks.odds"), "right"),
        (label("marks.part"), "left"),
        (label("marks.how"), "left"),
        (label("marks.its_repeat"), "right"),
        (label("marks.off_by"), "right"),
        (label("marks.walks"), "left"),
    )
    for number, ranked in enumerate(found.ranked[:_MOST_SHOWN]):
        if number and ranked.probability < _LEAST_SHOWN:
            break
        made.add_row(*_row(press, ranked))
    made.add_row(_percent(found.unlisted), label("marks.unlisted"), "", "", "", "")
    return made


def _row(press: Press, ranked: RankedSuspect) -> tuple[str, ...]:
    name = suspect_name(ranked.suspect, press.unit(ranked.suspect.unit))
    worst = max((abs(each) for each in ranked.residuals_mm), default=0.0)
    return (
        _percent(ranked.probability),
        name + (f" {label('marks.alike', ids=_alike(ranked))}" if ranked.alike else ""),
        ranked.rule_text,
        f"{ranked.expected_mm:.1f} ± {ranked.expected_sd_mm:.1f}",
        "–" if ranked.fitted_mm is None else f"{worst:.1f}",
        _walks(ranked.walks),
    )


def _alike(ranked: RankedSuspect) -> str:
    return "; ".join(id.replace(":", " ").replace("_", " ") for id in ranked.alike)


def _walks(walks: Iterable[Walk]) -> str:
    return label("marks.or").join(
        label("marks.stands") if abs(walk.shift_mm) < _STANDS_MM else _walk(walk) for walk in walks
    )


def _walk(walk: Walk) -> str:
    text = f"{walk.shift_mm:+.1f}"
    return text if walk.sheets == 1 else label("marks.per_sheets", shift=text, sheets=walk.sheets)


def _percent(probability: float) -> str:
    return "< 1 %" if 0 < probability < _LEAST_SHOWN else f"{100 * probability:.0f} %"


def _marks(found: MarkMatch) -> str:
    sheets = sorted({mark.sheet for mark in found.marks})
    groups = (", ".join(f"{mark.mm:g}" for mark in found.marks if mark.sheet == sheet) for sheet in sheets)
    return " / ".join(groups)
