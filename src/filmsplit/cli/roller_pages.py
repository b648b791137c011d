"""The register of rollers as a person reads it in a terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from filmsplit.actions.acceptance import RollerArrival
from filmsplit.actions.entry_words import about, said, where
from filmsplit.actions.register import Registered, RollerPage, Standing
from filmsplit.cli.problems import problem_text
from filmsplit.cli.show import console, name_line, table
from filmsplit.messages import label
from filmsplit.records.entries import Entry
from filmsplit.records.hardness import Hardness
from filmsplit.records.roller_facts import facts_told


def print_registered(done: Registered) -> None:
    """What was put on the register, and the marks to stamp."""
    print(label("roller.registered", added=len(done.added), there=len(done.there_already)))
    if done.added:
        print(label("roller.stamp"))
        made = table((label("roller.mark"), "left"), (label("roller.code"), "left"), (label("roller.role"), "left"))
        for each in done.added:
            made.add_row(each.mark, each.code, each.facts.role)
        console().print(made)


def print_rollers(found: Sequence[Standing]) -> None:
    """One line a roller."""
    if not found:
        print(label("roller.none"))
        return
    names = ("mark", "code", "role", "diameter", "cover", "where", "since")
    made = table(*((label(f"roller.{name}"), "right" if name == "diameter" else "left") for name in names))
    for each in found:
        facts, position = each.roller.facts, each.position
        diameter = "" if facts.drawn_diameter_mm is None else f"{facts.drawn_diameter_mm:g}"
        since = "" if position is None else position.day.isoformat()
        made.add_row(
            each.roller.mark, each.roller.code, facts.role, diameter, facts.cover_material, where(position), since
        )
    console().print(made)


def print_moved(moved: Sequence[Standing]) -> None:
    """Where each roller is now."""
    for each in moved:
        print(label("roller.moved", mark=each.roller.mark, where=where(each.position)))


def print_page(page: RollerPage) -> None:
    """What is on record about one roller; of the entries, the last ones."""
    out, roller = console(), page.roller
    invented = "  " + label("job.invented") if roller.invented else ""
    out.print(f"[bold]{roller.mark}[/]  {roller.code}{invented}")
    for name, value in facts_told(roller.facts):
        out.print(name_line(name, value))
    places = table((label("roller.since"), "left"), (label("roller.where"), "left"))
    for position in page.history:
        places.add_row(position.day.isoformat(), where(position))
    out.print(places)
    print_entries(page.entries, marks=page.marks, hardness=page.hardness)
    total = sum(page.counts.values())
    if total > len(page.entries):
        print(label("roller.more", shown=len(page.entries), total=total))


def print_arrival(found: RollerArrival) -> None:
    """The decision, the days it rests on, and every comparison, the gravest first."""
    out = console()
    out.print(f"[bold]{found.mark}[/]  [bold]{label(f'accept.{found.decision.value}')}[/]")
    days = ", ".join(each.isoformat() for each in found.days)
    out.print(name_line(label("accept.days"), days or label("accept.no-days")))
    for finding in found.found.findings:
        print(problem_text(finding.problem))
    print(label("accept.advice"))


def print_entries(
    entries: Sequence[Entry], *, marks: Mapping[int, str], hardness: Mapping[int, Hardness] | None = None
) -> None:
    """One line an entry."""
    if not entries:
        print(label("roller.no_entries"))
        return
    names = ("number", "day", "kind", "roller", "values", "temperature", "person", "remarks")
    made = table(*((label(f"entry.{name}"), "right" if name == "number" else "left") for name in names))
    for each in entries:
        warmth = "" if each.temperature_c is None else f"{each.temperature_c:g} °C"
        made.add_row(
            str(each.number),
            each.day.isoformat(),
            each.kind,
            about(each, marks),
            said(each, (hardness or {}).get(each.number)),
            warmth,
            each.person,
            each.remarks,
        )
    console().print(made)
