"""The register of rollers as a person reads it in a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields

from filmsplit.actions.register import Registered, RollerPage, Standing
from filmsplit.cli.show import console, name_line, table
from filmsplit.messages import label
from filmsplit.records.entries import Entry
from filmsplit.records.hardness import Hardness
from filmsplit.records.kinds import KINDS
from filmsplit.records.positions import Position, Whereabouts
from filmsplit.records.roller_facts import RollerFacts, fact_rows


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
            each.roller.mark, each.roller.code, facts.role, diameter, facts.cover_material, _where(position), since
        )
    console().print(made)


def print_moved(moved: Sequence[Standing]) -> None:
    """Where each roller is now."""
    for each in moved:
        print(label("roller.moved", mark=each.roller.mark, where=_where(each.position)))


def print_page(page: RollerPage) -> None:
    """What is on record about one roller; of the entries, the last ones."""
    out, roller = console(), page.roller
    invented = "  " + label("job.invented") if roller.invented else ""
    out.print(f"[bold]{roller.mark}[/]  {roller.code}{invented}")
    for name, value in _known(roller.facts):
        out.print(name_line(name, value))
    places = table((label("roller.since"), "left"), (label("roller.where"), "left"))
    for position in page.history:
        places.add_row(position.day.isoformat(), _where(position))
    out.print(places)
    print_entries(page.entries, marks=page.marks, hardness=page.hardness)
    total = sum(page.counts.values())
    if total > len(page.entries):
        print(label("roller.more", shown=len(page.entries), total=total))


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
        said = _said(each, (hardness or {}).get(each.number))
        made.add_row(
            str(each.number),
            each.day.isoformat(),
            each.kind,
            _about(each, marks),
            said,
            warmth,
            each.person,
            each.remarks,
        )
    console().print(made)


def _about(entry: Entry, marks: Mapping[int, str]) -> str:
    """The contact, the roller or the unit that an entry is about."""
    if entry.contact:
        return f"{entry.press}:{entry.unit}.{entry.contact}"
    return marks[entry.roller_id] if entry.roller_id is not None else f"{entry.press}:{entry.unit}"


def _said(entry: Entry, hardness: Hardness | None) -> str:
    """The values of an entry with their unit and what they say, or its word."""
    if entry.points:
        values = " ".join(f"{value:g}" for value in entry.values)
        doubt = "" if entry.reliable else " " + label("entry.unreliable")
        median = "" if hardness is None else f" → {hardness.median_shore_a:.1f} ± {hardness.sd_shore_a:.1f}"
        return f"{values} {KINDS[entry.kind].unit}{median}{doubt}"
    counted = "" if entry.impressions is None else str(entry.impressions)
    return entry.grade or counted or entry.product


def _known(facts: RollerFacts) -> Iterator[tuple[str, str]]:
    rows = fact_rows()
    for name in (each.name for each in fields(facts)):
        value = getattr(facts, name)
        if value not in (None, ""):
            shown = f"{value:g}" if isinstance(value, float) else str(value)
            yield rows[name].help.partition(":")[0], f"{shown} {rows[name].unit}".strip()


def _where(position: Position | None) -> str:
    if position is None:
        return ""
    note = f" ({position.note})" if position.note else ""
    if position.whereabouts is Whereabouts.PRESS:
        return f"{position.at}{note}"
    return label(f"whereabouts.{position.whereabouts.name.lower()}") + note
