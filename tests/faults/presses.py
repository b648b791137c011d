"""Presses to measure marks on, written as press files: one by hand, and random ones (all invented)."""

from __future__ import annotations

import random

from filmsplit.formats.press_file import describe
from filmsplit.press import Press

NEAREST_MM = 1.0
"""Random presses keep their diameters this far apart, as whoever chooses unequal rollers on purpose does."""

_UNIT = """\
  - id: {id}
    cylinders:
      plate_turns: clockwise
      plate: {{centre: {{x_mm: 0, y_mm: 0}}, body_diameter_mm: {body}, gap_mm: {gap}, cover_mm: 0.15,
        packing_mm: 0.15{gear}}}
      blanket: {{centre: {{x_mm: 0, y_mm: -{plate}}}, body_diameter_mm: {blanket}, gap_mm: {gap}, cover_mm: 1.7,
        packing_mm: 0.1}}
      impression: {{centre: {{x_mm: 120, y_mm: -290}}, diameter_mm: {impression}}}
    rollers:
"""
_HEAD = """\
filmsplit: press 1
id: {id}
name: {id}
invented: yes
sheet_length_mm: {sheet}
units:
"""


def press_text(units: list[str], *, id: str = "bench", sheet_mm: float = 450) -> str:
    return _HEAD.format(id=id, sheet=sheet_mm) + "".join(units)


def unit_text(
    rollers: list[str],
    contacts: list[str],
    *,
    id: str = "A",
    plate_mm: float = 173.0,
    gap_mm: float = 88.0,
    teeth: int | None = 64,
    impression_mm: float = 172.0,
) -> str:
    """One unit; ``rollers`` and ``contacts`` as the inside of a flow mapping."""
    gear = "" if teeth is None else f", gear_teeth: {teeth}, gear_module_mm: 2.5"
    head = _UNIT.format(
        id=id,
        body=f"{plate_mm - 0.6:.3f}",
        blanket=f"{plate_mm - 3.6:.3f}",
        plate=plate_mm,
        gap=gap_mm,
        gear=gear,
        impression=impression_mm,
    )
    lines = [f"      - {{{roller}}}\n" for roller in rollers]
    meets = [f"      - {{{contact}}}\n" for contact in contacts]
    return head + "".join(lines) + "    contacts:\n" + "".join(meets)


def press_of(units: list[str], *, id: str = "bench", sheet_mm: float = 450) -> Press:
    """The press described; its geometry is left alone, marks do not need it."""
    return describe(press_text(units, id=id, sheet_mm=sheet_mm), name=f"{id}.yaml").press


BENCH_ROLLERS = [
    "id: F1, role: form, diameter_mm: 54, drive: {kind: friction by spring}",
    "id: F2, role: form, diameter_mm: 50, drive: {kind: friction by spring}",
    "id: D1, role: drum, diameter_mm: 65, drive: {kind: gear, teeth: 24}, motion: {kind: oscillates, cycle_rev: 2.4}",
    "id: R1, role: rider, diameter_mm: 34, drive: {kind: friction by weight}",
    "id: S1, role: distributor, diameter_mm: 46, drive: {kind: friction by spring}",
    "id: DU, role: ductor, diameter_mm: 44, motion: {kind: ducts, cycle_rev: 3}",
    "id: IF, role: fountain, diameter_mm: 70, drive: {kind: gear}",
]
BENCH_CONTACTS = [
    "a: F1, b: plate",
    "a: F2, b: plate",
    "a: F1, b: D1",
    "a: F2, b: D1",
    "a: R1, b: D1",
    "a: S1, b: D1",
    "a: DU, b: S1, kind: touches at times",
    "a: DU, b: IF, kind: touches at times",
]


def bench_press() -> Press:
    """One unit on a 173 mm plate with rollers of 54, 50, 46 and 34 mm, a geared drum and a ductor."""
    return press_of([unit_text(BENCH_ROLLERS, BENCH_CONTACTS)])


def random_press(rng: random.Random, *, nearest_mm: float = NEAREST_MM) -> Press:
    """One or two units of a small press: 2-4 form rollers on geared drums, distributors, riders, a ductor or none."""
    plate_mm = round(rng.uniform(150, 260), 1)
    gap_mm = round(rng.uniform(0.13, 0.2) * 3.1416 * plate_mm, 1)
    sheet_mm = round(3.1416 * plate_mm - gap_mm - rng.uniform(0, 20), 1)
    impression_mm = plate_mm * rng.choice((1, 1, 2)) - 1.0
    units = [
        _random_unit(rng, id, plate_mm=plate_mm, gap_mm=gap_mm, impression_mm=impression_mm, nearest_mm=nearest_mm)
        for id in rng.choice(("A", "A", "AB"))
    ]
    return press_of(units, id="random", sheet_mm=sheet_mm)


def _random_unit(
    rng: random.Random, id: str, *, plate_mm: float, gap_mm: float, impression_mm: float, nearest_mm: float
) -> str:
    teeth = rng.randint(56, 90)
    diameters = _diameters(rng, rng.randint(8, 13), plate_mm=plate_mm, teeth=teeth, nearest_mm=nearest_mm)
    forms, drums = rng.randint(2, 4), rng.randint(1, 3)
    cycle = round(rng.uniform(1.3, 6), 1)
    rollers, contacts = [], []
    for number, (diameter, gear_teeth) in enumerate(sorted(diameters, key=lambda each: each[1] is None)):
        name = f"K{number}"
        if gear_teeth is not None and number < drums:
            motion = f"motion: {{kind: oscillates, cycle_rev: {cycle}}}"
            rollers.append(
                f"id: {name}, role: drum, diameter_mm: {diameter}, drive: {{kind: gear, teeth: {gear_teeth}}}, {motion}"
            )
            contacts.append(f"a: {name}, b: K{drums + number % forms}")
        elif number < drums + forms:
            rollers.append(f"id: {name}, role: form, diameter_mm: {diameter}, drive: {{kind: friction by spring}}")
            contacts.append(f"a: {name}, b: plate")
        else:
            role, weight = rng.choice((("distributor", "spring"), ("rider", "weight")))
            rollers.append(f"id: {name}, role: {role}, diameter_mm: {diameter}, drive: {{kind: friction by {weight}}}")
            contacts.append(f"a: {name}, b: K{rng.randrange(drums)}")
    if rng.random() < 0.7:
        ductor_cycle = round(rng.uniform(1.2, 6), 1)
        rollers.append(f"id: DU, role: ductor, diameter_mm: 43, motion: {{kind: ducts, cycle_rev: {ductor_cycle}}}")
        contacts.append("a: DU, b: K0, kind: touches at times")
    return unit_text(
        rollers, contacts, id=id, plate_mm=plate_mm, gap_mm=gap_mm, teeth=teeth, impression_mm=impression_mm
    )


def _diameters(
    rng: random.Random, number: int, *, plate_mm: float, teeth: int, nearest_mm: float
) -> list[tuple[float, int | None]]:
    """Diameters kept apart; the first three sized by gears of whole teeth."""
    taken: list[tuple[float, int | None]] = []
    while len(taken) < number:
        if len(taken) < 3:
            gear_teeth: int | None = rng.randint(round(45 / plate_mm * teeth), round(80 / plate_mm * teeth))
            diameter = round(plate_mm * (gear_teeth or 0) / teeth, 2)
        else:
            gear_teeth, diameter = None, round(rng.uniform(30, 75), 2)
        if all(abs(diameter - other) >= nearest_mm for other, _ in taken):
            taken.append((diameter, gear_teeth))
    return taken
