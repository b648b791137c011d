"""Sheets marked by a part picked at random, and measured by somebody with a rule. Knows nothing of the matcher.

A part marks every ``repeat`` of travel. The plate turns once a sheet; paper meets the first stretch of each turn.
Friction-driven rollers repeat by pi times a true diameter 0.3 mm (one standard deviation) about the measured one,
geared ones by their teeth. Readings are out by 0.5 mm; now and then a mark is passed over.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

import networkx as nx

from filmsplit.press import Press, Roller, Unit

READING_SD_MM = 0.5
DIAMETER_SD_MM = 0.3
PASSED_OVER = 0.1
OVER_SHEETS = 0.3
FOLLOWED = 0.3
MOST_FOLLOWED = 6
"""Where a sheet shows more marks than this nobody picks one of them and follows it."""

MOST_SHEETS = 40

ONCE_A_TURN = "once a plate turn"
GEARS = "gear teeth"


@dataclass(frozen=True)
class Part:
    """Something that marks: what it is called, the repeat it is believed to have, and how far that may be out."""

    name: str
    repeat_mm: float
    sd_mm: float


@dataclass(frozen=True)
class Case:
    """One spoiled job: who did it, what was measured, and whether distances could tell."""

    press: Press
    unit: Unit
    part: Part
    readings: list[tuple[int, float]]
    turns: int
    apart: bool


def parts_of(press: Press, unit: Unit) -> list[Part]:
    """Rollers that run with the train, gear teeth, once a plate turn, ductor beats, oscillations."""
    plate = unit.cylinders.plate
    around = math.pi * (plate.body_diameter_mm + 2 * plate.cover_mm + 2 * plate.packing_mm)
    speeds = _speeds(unit)
    parts = [
        _roller_part(press, unit, roller, around, speeds.get(roller.id))
        for roller in unit.rollers
        if roller.motion.kind.value != "ducts" and (roller.id in speeds or _geared_mm(unit, roller, around))
    ]
    parts.append(Part(ONCE_A_TURN, around, 0.0))
    turns = round(math.pi * unit.cylinders.impression.diameter_mm / around)
    if turns > 1:
        parts.append(Part("impression", turns * around, 0.0))
    if plate.gear_teeth:
        parts.append(Part(GEARS, around / plate.gear_teeth, 0.0))
    return parts + _cycles(press, unit, around)


def _cycles(press: Press, unit: Unit, around: float) -> list[Part]:
    cycles: dict[str, Part] = {}
    for roller in unit.rollers:
        kind, cycle = roller.motion.kind.value, roller.motion.cycle_rev
        sd = _guessed(press, unit, roller, "motion", "cycle_rev") * around
        if kind == "ducts":
            cycles[f"ductor {roller.id}"] = Part(f"ductor {roller.id}", cycle * around, sd)
        if kind == "oscillates":
            cycles.setdefault(f"oscillation {cycle}", Part(f"oscillation {cycle}", cycle * around, sd))
    return list(cycles.values())


def _roller_part(press: Press, unit: Unit, roller: Roller, around: float, speed: float | None) -> Part:
    geared = _geared_mm(unit, roller, around)
    if geared is not None:
        return Part(roller.id, geared, 0.0)
    assert speed is not None
    friction = "friction" in roller.drive.kind.value
    diameter = roller.diameter_mm if friction else roller.drawn_diameter_mm
    sd = math.hypot(DIAMETER_SD_MM, _guessed(press, unit, roller, "diameter_mm"))
    return Part(roller.id, math.pi * diameter / speed, math.pi * sd / speed)


def _geared_mm(unit: Unit, roller: Roller, around: float) -> float | None:
    drive, plate = roller.drive, unit.cylinders.plate
    if drive.turns_per_plate_turn:
        return around / drive.turns_per_plate_turn
    if drive.kind.value != "gear" or not plate.gear_teeth:
        return None
    if drive.teeth:
        return around * drive.teeth / plate.gear_teeth
    if drive.pitch_diameter_mm and plate.gear_module_mm:
        return around * drive.pitch_diameter_mm / (plate.gear_module_mm * plate.gear_teeth)
    return None


def _guessed(press: Press, unit: Unit, roller: Roller, *field: str) -> float:
    path = ("units", unit.id, "rollers", roller.id, *field)
    return next((one.spread or 0.0 for one in press.assumptions if one.path == path), 0.0)


def _speeds(unit: Unit) -> dict[str, float]:
    """Rollers joined to the plate by contacts that do not slip run at 1; past a slip, at its stated ratio."""
    ductors = {roller.id for roller in unit.rollers if roller.motion.kind.value == "ducts"}
    graph = nx.Graph()
    graph.add_nodes_from(unit.member_ids)
    graph.add_edges_from((c.a, c.b) for c in unit.contacts if c.kind.value != "slips" and not {c.a, c.b} & ductors)
    graph.add_edges_from([("plate", "blanket"), ("blanket", "impression")])
    groups = list(nx.connected_components(graph))
    slips = nx.DiGraph()
    for contact in unit.contacts:
        if contact.kind.value == "slips" and contact.speed_ratio:
            a = next(index for index, group in enumerate(groups) if contact.a in group)
            b = next(index for index, group in enumerate(groups) if contact.b in group)
            slips.add_edge(b, a, ratio=contact.speed_ratio)
            slips.add_edge(a, b, ratio=1 / contact.speed_ratio)
    home = next(index for index, group in enumerate(groups) if "plate" in group)
    slips.add_node(home)
    speeds = {}
    for index, route in nx.single_source_shortest_path(slips, home).items():
        speed = math.prod(slips.edges[step]["ratio"] for step in nx.utils.pairwise(route))
        speeds.update(dict.fromkeys(groups[index], speed))
    return speeds


def simulate(press: Press, rng: random.Random) -> Case:
    """One case on ``press``: a unit, one of its parts, and 2 to 4 marks of it measured."""
    unit = rng.choice(press.units)
    parts = parts_of(press, unit)
    part = rng.choice(parts)
    plate = unit.cylinders.plate
    around = math.pi * (plate.body_diameter_mm + 2 * plate.cover_mm + 2 * plate.packing_mm)
    shown = min(press.sheet_length_mm, around - plate.gap_mm)
    while True:
        true_mm = max(rng.gauss(part.repeat_mm, part.sd_mm), 0.25 * part.repeat_mm)
        marks = _marks(true_mm, around, shown, rng)
        measured = _measure(marks, rng)
        if len(measured) > 1:
            break
    turns = measured[-1][0] - measured[0][0]
    readings = [(sheet, min(max(rng.gauss(mm, READING_SD_MM), 0.0), around)) for _, sheet, mm in measured]
    apart = all(told_apart(part, other, turns) for other in parts if other is not part)
    return Case(press, unit, part, readings, turns, apart)


def told_apart(part: Part, other: Part, turns: int) -> bool:
    """Expected distances over the turns measured differ by more than 3 combined standard deviations."""
    difference = turns * abs(part.repeat_mm - other.repeat_mm)
    sd = math.sqrt(turns**2 * (part.sd_mm**2 + other.sd_mm**2) + 2 * READING_SD_MM**2)
    return difference > 3 * sd


def _marks(true_mm: float, around: float, shown: float, rng: random.Random) -> list[tuple[int, int, float]]:
    """Every mark on paper over some sheets: turn, sheet, place."""
    place = rng.uniform(0, true_mm)
    marks, turn = [], 0
    while place < MOST_SHEETS * around:
        sheet = int(place // around)
        if place - sheet * around <= shown:
            marks.append((turn, sheet, place - sheet * around))
        place += true_mm
        turn += 1
    return marks


def _measure(marks: list[tuple[int, int, float]], rng: random.Random) -> list[tuple[int, int, float]]:
    """A few marks in a row from somewhere on; on one sheet, or over consecutive sheets where one has too few."""
    wanted = rng.choice((2, 3, 4))
    if len(marks) < 2:
        return []
    starts = [index for index in range(len(marks) - 1) if marks[index + 1][1] == marks[index][1]]
    one_sheet = bool(starts) and rng.random() > OVER_SHEETS
    first = rng.choice(starts) if one_sheet else rng.randrange(max(1, min(len(marks) - 4, 30)))
    crowded = sum(mark[1] == marks[first][1] for mark in marks) > MOST_FOLLOWED
    if not one_sheet and not crowded and rng.random() < FOLLOWED:
        return _follow(marks, marks[first], wanted)
    found = [marks[first]]
    for mark in marks[first + 1 :]:
        if len(found) == wanted or (one_sheet and mark[1] != found[0][1]):
            break
        if rng.random() > PASSED_OVER:
            found.append(mark)
    return found


def _follow(
    marks: list[tuple[int, int, float]], first: tuple[int, int, float], wanted: int
) -> list[tuple[int, int, float]]:
    """One mark a sheet: on each next marked sheet the one nearest to where the last stood."""
    found = [first]
    for sheet in sorted({mark[1] for mark in marks if mark[1] > first[1]})[: wanted - 1]:
        found.append(min((mark for mark in marks if mark[1] == sheet), key=lambda mark: abs(mark[2] - found[-1][2])))
    return found
