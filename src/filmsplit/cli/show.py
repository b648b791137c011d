"""The facts of a press as a person reads them in a terminal."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Callable, Iterable
from enum import Enum

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table

from filmsplit.messages import label
from filmsplit.press import Press, Roller, Unit
from filmsplit.press.facts import PressFacts, Tally, UnitFacts
from filmsplit.press.paths import Paths
from filmsplit.press.surfaces import RollerFacts
from filmsplit.press.unknowns import RankedUnknown
from filmsplit.press.words import MotionKind, System

_NARROWEST, _WIDEST = 80, 150
_WIDE = 130
"""From this width on every column of the roller table has room."""

_WHAT_IT_IS, _HOW_IT_RUNS = (0, 1, 2, 3, 4, 10), (0, 5, 6, 7, 8, 9)
_NAME_WIDTH = 26
_MOST_UNKNOWNS = 3
ASSUMED_MARK = "~"
"""Stands before every value that is assumed."""


def console() -> Console:
    """A console as wide as the terminal, within reason; a file or a pipe gets the widest."""
    columns = shutil.get_terminal_size((_WIDEST, 40)).columns
    return Console(width=min(max(columns, _NARROWEST), _WIDEST), highlight=False)


def show_facts(press: Press, facts: PressFacts, *, out: Console) -> None:
    """Everything `press show` says below the drawing."""
    for unit in facts.units:
        if len(facts.units) > 1:
            out.print(f"\n[bold]{label('show.unit', unit=unit.id)}[/]  {unit.name}")
        for rollers in _roller_tables(press, press.unit(unit.id), unit, width=out.width):
            out.print(rollers)
        for name, value in _unit_lines(unit):
            out.print(name_line(name, value))
        out.print()
        if unit.gears:
            out.print(_gear_table(unit))
    out.print(name_line(label("show.hand_wheel"), _yes(facts.hand_wheel)))
    out.print()
    for finding in facts.findings:
        print_bullet(finding.what, out=out)


def print_bullet(text: str, *, out: Console) -> None:
    """One thing worth knowing, wrapped under itself."""
    print(textwrap.fill(text, width=out.width, initial_indent="  · ", subsequent_indent="    ", break_long_words=False))


def print_unknowns(unknowns: Iterable[RankedUnknown], *, out: Console) -> None:
    """The few unknowns that matter most: the value assumed, where it comes from, what it changes."""
    for unknown in tuple(unknowns)[:_MOST_UNKNOWNS]:
        print_bullet(unknown.sentence(where=".".join(unknown.path[1:])).what, out=out)


def name_line(name: str, value: str) -> Table:
    """A named fact; long values wrap beside the name, not under it."""
    grid = Table.grid(padding=(0, 2))
    grid.add_column(width=_NAME_WIDTH, style="bold")
    grid.add_column()
    grid.add_row(f"  {name}", value)
    return grid


def table(*headings: tuple[str, str]) -> Table:
    """An empty table in the house look. Each heading comes with its justification."""
    made = Table(box=SIMPLE_HEAD, pad_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    for heading, justify in headings:
        is_name = not made.columns  # the name of a row stays in one piece, to be read and to be copied
        made.add_column(heading, justify="right" if justify == "right" else "left", vertical="top", no_wrap=is_name)
    return made


def _roller_tables(press: Press, unit: Unit, facts: UnitFacts, *, width: int) -> Iterable[Table]:
    """Every roller in one table where the terminal is wide enough, otherwise in two: what it is, and how it runs."""
    headings = (
        (label("show.id"), "left"),
        (label("show.name"), "left"),
        (label("show.diameter_mm"), "right"),
        (label("show.cover"), "left"),
        (label("show.hardness"), "right"),
        (label("show.drive"), "left"),
        (label("show.motion"), "left"),
        (label("show.repeat_mm"), "right"),
        (label("show.turns"), "right"),
        (label("show.area_m2"), "right"),
        (label("show.out"), "left"),
    )
    everything = range(len(headings))
    for columns in (everything,) if width >= _WIDE else (_WHAT_IT_IS, _HOW_IT_RUNS):
        made = table(*(headings[column] for column in columns))
        for roller in facts.rollers:
            cells = _roller_cells(press, unit, roller)
            made.add_row(*(cells[column] for column in columns))
        yield made


def _roller_cells(press: Press, unit: Unit, facts: RollerFacts) -> tuple[str, ...]:
    roller = unit.roller(facts.id)
    path = ("units", unit.id, "rollers", roller.id)
    turns = "–" if facts.turns_per_plate_turn is None else f"{facts.turns_per_plate_turn:.3f}"
    return (
        roller.id,
        roller.name,
        _mark(press, *path, "diameter_mm") + f"{roller.diameter_mm:.1f}",
        *_cover(press, roller, path),
        _mark(press, *path, "drive", "kind") + label(f"drive.{roller.drive.kind.name.lower()}"),
        _motion(press, roller, path),
        f"{facts.repeat_mm:.1f}",
        turns + (" ≈" if facts.near_whole else ""),
        f"{facts.surface_m2:.3f}",
        _yes(roller.lifts_out),
    )


def _cover(press: Press, roller: Roller, path: tuple[str, ...]) -> tuple[str, str]:
    """What meets the ink, and its hardness."""
    if roller.cover is None:
        return label("show.bare", material=label(f"material.{roller.core.material.name.lower()}")), ""
    thickness = _mark(press, *path, "cover", "thickness_mm") + f"{roller.cover.thickness_mm:g}"
    # Shore A says nothing about nylon or ebonite: the scale ends where they begin.
    shore_a = _mark(press, *path, "cover", "hardness_shore_a") + f"{roller.cover.hardness_shore_a:g}"
    hardness = shore_a if roller.is_soft else label("show.hard")
    material = label(f"material.{roller.cover.material.name.lower()}")
    return label("show.covered", material=material, thickness=thickness), hardness


def _motion(press: Press, roller: Roller, path: tuple[str, ...]) -> str:
    motion = roller.motion
    mark = _mark(press, *path, "motion", "kind")
    cycle = _mark(press, *path, "motion", "cycle_rev") + f"{motion.cycle_rev:g}"
    if motion.kind is MotionKind.OSCILLATES:
        stroke = _mark(press, *path, "motion", "stroke_mm") + f"{motion.stroke_mm:g}"
        return mark + label("show.oscillates", stroke=stroke, cycle=cycle)
    if motion.kind is MotionKind.DUCTS:
        return mark + label("show.ducts", cycle=cycle)
    return label("show.turns_only")


def _unit_lines(facts: UnitFacts) -> Iterable[tuple[str, str]]:
    counts = facts.counts
    yield label("show.rollers"), _tally(counts.by_system, lambda word: label(f"system.{word.value}"))
    yield label("show.make_up"), _tally(counts.by_make_up, lambda word: label(f"make-up.{word.value}"))
    yield label("show.motions"), _tally(counts.by_motion, lambda word: label(f"motion.{word.name.lower()}"))
    yield label("show.drives"), _tally(counts.by_drive, lambda word: label(f"drive.{word.name.lower()}"))
    yield label("show.nips"), _tally(counts.nips_by_kind, lambda word: label(f"contact.{word.name.lower()}"))
    yield label("show.forms"), _forms(facts)
    yield from _path_lines(facts)
    area = facts.ink_area
    per_plate = "–" if area.per_plate_area is None else f"{area.per_plate_area:.2f}"
    yield (
        label("show.ink_area"),
        label("show.ink_area_value", all=f"{area.all_m2:.3f}", carrying=f"{area.carrying_m2:.3f}", ratio=per_plate),
    )
    yield label("show.plate"), f"{facts.plate_circumference_mm:.1f} mm"
    yield label("show.zones"), str(facts.zones)
    yield label("show.lift_out"), ", ".join(facts.lifts_out) or label("show.none")


def _path_lines(facts: UnitFacts) -> Iterable[tuple[str, str]]:
    for paths, name in ((facts.ink_paths, "show.ink_path"), (facts.water_paths, "show.water_path")):
        if paths.shortest is not None:
            yield label(name), _path(paths)
    loops = facts.loops
    yield (
        label("show.loops"),
        label("show.loops_value", rollers=loops.independent_rings, plate=loops.independent_with_plate),
    )


def _path(paths: Paths) -> str:
    assert paths.shortest is not None
    return label(
        "show.path_value",
        way=" → ".join((*paths.shortest.rollers, label("show.plate_word"))),
        nips=len(paths.shortest.nips),
        ways=len(paths.paths),
    )


def _forms(facts: UnitFacts) -> str:
    systems = {System.INK: "", System.DAMPENING: " " + label("show.damp"), System.SHARED: " " + label("show.shared")}
    return ", ".join(f"{form.order} {form.id}{systems[form.system]}" for form in facts.forms) or label("show.none")


def _gear_table(facts: UnitFacts) -> Table:
    made = table(
        (label("show.gear"), "left"),
        (label("show.teeth"), "right"),
        (label("show.module_mm"), "right"),
        (label("show.pitch_mm"), "right"),
        (label("show.surface_pitch_mm"), "right"),
    )
    for gear in facts.gears:
        module = "–" if gear.module_mm is None else f"{gear.module_mm:.3f}"
        pitch = "–" if gear.pitch_at_gear_mm is None else f"{gear.pitch_at_gear_mm:.3f}"
        made.add_row(gear.member, str(gear.teeth), module, pitch, f"{gear.pitch_at_surface_mm:.3f}")
    return made


def _tally(tally: Tally, name: Callable[[Enum], str]) -> str:
    return ", ".join(f"{count} {name(word)}" for word, count in tally if count)


def _mark(press: Press, *path: str) -> str:
    """The mark of an assumed value, also where the whole record that holds it is assumed."""
    return ASSUMED_MARK if any(press.is_assumed(*path[:end]) for end in range(5, len(path) + 1)) else ""


def _yes(value: bool) -> str:
    return label("show.yes") if value else label("show.no")
