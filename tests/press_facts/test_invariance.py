"""Facts do not depend on the origin of the drawing, the side it is drawn from, or the unit it is measured in."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from random import Random
from typing import Any

import pytest

from filmsplit.press import Point, Press
from filmsplit.press.comparison import compare
from filmsplit.press.facts import facts_of
from filmsplit.press.interchange import interchange_groups
from filmsplit.units.length import inch_from_mm, mm_from_inch
from trains import random_press

SEEDS = range(40)


def moved(press: Press, to: Callable[[Point], Point], *, mirrored: bool = False) -> Press:
    """Every centre where ``to`` puts it; a mirror also turns the plate the other way."""

    def walk(record: Any) -> Any:
        if isinstance(record, Point):
            return to(record)
        if isinstance(record, tuple):
            return tuple(walk(item) for item in record)
        if not is_dataclass(record) or isinstance(record, type):
            return record
        changed = replace(
            record, **{field.name: walk(getattr(record, field.name)) for field in fields(record) if field.init}
        )
        turns = getattr(changed, "plate_turns", None)
        return replace(changed, plate_turns=turns.reversed) if mirrored and turns is not None else changed

    return walk(press)  # type: ignore[no-any-return]


def measured(press: Press, convert: Callable[[float], float]) -> Press:
    """Every length of the description as ``convert`` gives it."""

    def walk(record: Any, unit: str) -> Any:
        if isinstance(record, tuple):
            return tuple(walk(item, unit) for item in record)
        if isinstance(record, float) and unit == "mm":
            return convert(record)
        if not is_dataclass(record) or isinstance(record, type):
            return record
        rows = {field.name: field.metadata["row"] for field in fields(record) if field.metadata.get("row") is not None}
        return replace(record, **{name: walk(getattr(record, name), row.unit) for name, row in rows.items()})

    return walk(press, "")  # type: ignore[no-any-return]


def same(a: Any, b: Any, *, scale: float = 1.0, name: str = "") -> bool:
    """Equal but for rounding; lengths by ``scale`` apart, areas by its square."""
    if is_dataclass(a) and not isinstance(a, type):
        return type(a) is type(b) and all(
            same(getattr(a, field.name), getattr(b, field.name), scale=scale, name=field.name)
            for field in fields(a)
            if field.name not in ("findings", "repeat_sd_mm")  # sentences; a constant in mm, not of the press
        )
    if isinstance(a, tuple):
        return len(a) == len(b) and all(
            same(one, other, scale=scale, name=name) for one, other in zip(a, b, strict=True)
        )
    if isinstance(a, float):
        factor = scale**2 if name.endswith("_m2") else scale if name.endswith(("_mm", "_mm_per_plate_turn")) else 1.0
        return math.isclose(a * factor, b, rel_tol=1e-9, abs_tol=1e-9)
    return bool(a == b)


@pytest.mark.parametrize("seed", SEEDS)
def test_moving_the_drawing_changes_no_fact(seed: int) -> None:
    press = random_press(Random(seed))
    along = moved(press, lambda point: Point(x_mm=point.x_mm + 312.5, y_mm=point.y_mm - 77.25))
    assert same(facts_of(press), facts_of(along))
    assert [finding.slug for finding in facts_of(press).findings] == [f.slug for f in facts_of(along).findings]
    assert all(same(a.cells, b.cells) for a, b in zip(compare([press]).rows, compare([along]).rows, strict=True))


@pytest.mark.parametrize("seed", SEEDS)
def test_turning_the_drawing_changes_no_fact(seed: int) -> None:
    press = random_press(Random(seed))
    c, s = math.cos(0.7), math.sin(0.7)
    turned = moved(press, lambda p: Point(x_mm=c * p.x_mm - s * p.y_mm, y_mm=s * p.x_mm + c * p.y_mm))
    assert same(facts_of(press), facts_of(turned))


@pytest.mark.parametrize("seed", SEEDS)
def test_drawing_from_the_gear_side_changes_no_fact(seed: int) -> None:
    press = random_press(Random(seed))
    mirrored = moved(press, lambda point: Point(x_mm=-point.x_mm, y_mm=point.y_mm), mirrored=True)
    assert same(facts_of(press), facts_of(mirrored))
    assert all(same(a.cells, b.cells) for a, b in zip(compare([press]).rows, compare([mirrored]).rows, strict=True))


def test_a_mirror_that_forgets_the_turn_does_change_the_order() -> None:
    """Otherwise the test above could not fail."""
    press = random_press(Random(3))
    half = moved(press, lambda point: Point(x_mm=-point.x_mm, y_mm=point.y_mm))
    assert not same(facts_of(press), facts_of(half))


@pytest.mark.parametrize("seed", SEEDS)
def test_measuring_in_inches_changes_no_fact(seed: int) -> None:
    press = random_press(Random(seed))
    there_and_back = measured(press, lambda mm: mm_from_inch(inch_from_mm(mm)))
    assert same(facts_of(press), facts_of(there_and_back))
    assert interchange_groups([press]).groups == interchange_groups([there_and_back]).groups


@pytest.mark.parametrize("seed", SEEDS)
def test_a_press_of_twice_the_size_has_facts_of_twice_the_size(seed: int) -> None:
    press = random_press(Random(seed))
    assert same(facts_of(press), facts_of(measured(press, lambda mm: 2 * mm)), scale=2.0)


def test_the_last_test_sees_a_length_that_was_forgotten() -> None:
    press = random_press(Random(3))
    assert not same(facts_of(press), facts_of(measured(press, lambda mm: 2 * mm)))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_the_file_changes_no_count(seed: int) -> None:
    press = random_press(Random(seed))
    units = tuple(replace(unit, rollers=unit.rollers[::-1], contacts=unit.contacts[::-1]) for unit in press.units)
    backwards = compare([replace(press, units=units)])
    counts = {"compare.ink_travel", "compare.water_travel"}  # of equally short paths another may come first
    for a, b in zip(compare([press]).rows, backwards.rows, strict=True):
        assert a.label_key in counts or same(a.cells, b.cells), a.label_key
