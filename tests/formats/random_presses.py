"""Press files made of dice: any field given, unknown or left out, in any order. Structure only; no train turns."""

from __future__ import annotations

from random import Random
from typing import Any

from filmsplit.formats.press_fields import UNKNOWN, FieldShape, Kind, shapes
from filmsplit.formats.press_writer import scalar
from filmsplit.press import Contact, Cylinders, Fountain, Press, Roller, Unit

TEXTS = (
    "",
    "plain",
    "with: colon",
    "a # b",
    "yes",
    "12",
    '"quoted"',
    "comma, in it",
    "ü ß µ 漢字",
    "- dash",
    "unknown",
    " blank ",
    "{x}",
)


def random_press_file(rng: Random) -> str:
    """The text of a press file with every kind of field, every third value unknown or left out."""
    ids = [f"R{number}" for number in range(rng.randint(2, 6))]
    lines = ["filmsplit: press 1", "id: dice"]
    lines += _fields(rng, Press, skip=("id", "units"), indent=0)
    lines += ["units:"]
    for unit in ("A", "B")[: rng.randint(1, 2)]:
        lines += [
            f"  - id: {unit}",
            *_fields(rng, Unit, skip=("id", "cylinders", "fountain", "rollers", "contacts"), indent=4),
        ]
        lines += ["    cylinders:", f"      plate_turns: {rng.choice(['clockwise', 'anticlockwise'])}"]
        lines += _fields(rng, Cylinders, skip=("plate_turns",), indent=6)
        if rng.random() < 0.7:
            lines += ["    fountain:", "      roller: R0", *_fields(rng, Fountain, skip=("roller",), indent=6)]
        lines += ["    rollers:"]
        for number, id in enumerate(ids):
            role = "fountain" if number == 0 else rng.choice(["drum", "form", "rider", "ductor", "pan", "bridge"])
            lines += [
                f"      - id: {id}",
                f"        role: {role}",
                *_fields(rng, Roller, skip=("id", "role"), indent=8),
            ]
        lines += ["    contacts:"]
        for number, id in enumerate(ids):
            other = "plate" if number == 0 else ids[number - 1]
            lines += [f"      - a: {id}", f"        b: {other}", *_fields(rng, Contact, skip=("a", "b"), indent=8)]
    return "\n".join(lines) + "\n"


def _fields(rng: Random, cls: type, *, skip: tuple[str, ...], indent: int) -> list[str]:
    lines = [f"{' ' * indent}{part}" for part in _parts(rng, cls, skip)]
    rng.shuffle(lines)
    return lines


def _parts(rng: Random, cls: type, skip: tuple[str, ...] = ()) -> list[str]:
    """Some fields of a record. The word that others depend on is always given, so that no field stands idle."""
    kind = None
    parts = []
    for name, shape in shapes(cls).items():
        only = shape.row.only
        if name in skip or name == "also_moves" or (only is not None and kind not in only.values):
            continue
        if name == "kind":
            kind = rng.choice(list(shape.of))
            parts.append(f"kind: {scalar(kind)}")
            continue
        fate = rng.random()
        if fate < 0.2 and not shape.row.required and name != "speed_ratio":
            continue
        unknown = fate < 0.35 and not shape.row.required
        parts.append(f"{name}: {UNKNOWN if unknown else _value(rng, shape)}")
    return parts


def _value(rng: Random, shape: FieldShape) -> str:
    if shape.kind is Kind.RECORD:
        return "{" + ", ".join(_parts(rng, shape.of)) + "}"
    if shape.kind is Kind.NUMBERS:
        return scalar(tuple(_number(rng, shape) for _ in range(rng.randint(1, 12))))
    return scalar(_plain(rng, shape))


def _plain(rng: Random, shape: FieldShape) -> Any:
    if shape.kind is Kind.YES_NO:
        return rng.random() < 0.5
    if shape.kind is Kind.TEXT:
        return rng.choice(TEXTS)
    if shape.kind is Kind.WORD:
        return rng.choice(list(shape.of))
    number = _number(rng, shape)
    return int(number) if shape.kind is Kind.WHOLE else number


_NARROW = {
    "thickness_mm": (0.1, 2.0),
    "gap_mm": (0.0, 60.0),
    "lowest": (0.0, 0.05),
    "undercut_mm": (0.0, 0.0),
    "body_diameter_mm": (60.0, 900.0),
}
"""Values that must agree with others (a cover in its roller, a gap in its cylinder) stay small."""


def _number(rng: Random, shape: FieldShape) -> float:
    low, high = _NARROW.get(shape.name, (shape.row.low, shape.row.high))
    assert low is not None
    assert high is not None
    return rng.choice([low, high, rng.uniform(low, high), max(low, round(rng.uniform(low, high), 1))])
