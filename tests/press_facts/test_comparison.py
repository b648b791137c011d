"""Presses side by side."""

from __future__ import annotations

from dataclasses import replace

import pytest

from filmsplit.messages import label
from filmsplit.press import Press
from filmsplit.press.comparison import Word, compare
from filmsplit.press.dampening import BridgePosition, WaterSupply
from filmsplit.press.facts import facts_of
from filmsplit.press.words import KeyKind, Role, SweepKind, System
from press_facts.built import SEPARATE, WATER_ROLLERS, press, roller, rolls, thrown_off, unit


def two_presses() -> list[Press]:
    bridge = roller("BR", Role.BRIDGE, System.SHARED)
    wet = unit([*WATER_ROLLERS, bridge], [*SEPARATE, thrown_off("BR/WF"), *rolls("BR/F1")])
    rider = roller("R1", Role.RIDER, cover=None)
    two = press(unit(), unit([rider], rolls("R1/F1", "R1/F2"), id="B"))
    return [press(wet), replace(two, id="two", hand_wheel=False)]


def test_one_row_per_fact_and_one_cell_per_press() -> None:
    table = compare(two_presses())
    assert table.ids == ("random", "two")
    assert all(len(row.cells) == 2 for row in table.rows)
    # By looking at the two trains.
    assert table.row("compare.units").cells == ((1,), (2,))
    assert table.row("compare.hand_wheel").cells == ((True,), (False,))
    assert table.row("compare.rollers").cells == ((9,), (5, 6))
    assert table.row("compare.ink_forms").cells == ((2,), (2,))
    assert table.row("compare.dampening_forms").cells == ((1,), (0,))
    assert table.row("compare.loops").cells == ((0,), (0, 1))
    assert table.row("compare.ink_nips").cells == ((4,), (4,))
    assert table.row("compare.water_nips").cells == ((3,), (None,))
    assert table.row("compare.zones").cells == ((10,), (10,))


def test_units_that_agree_share_a_cell() -> None:
    assert all(len(cell) == 1 for row in compare([press(unit(), unit(id="B"))]).rows for cell in row.cells)


def test_rows_that_differ() -> None:
    table = compare(two_presses())
    assert table.row("compare.rollers").differs
    assert not table.row("compare.zones").differs
    with pytest.raises(KeyError):
        table.row("compare.colour")


def test_words_come_from_the_catalogue() -> None:
    table = compare(two_presses())
    (wet, *_), (dry, *_) = table.row("compare.dampening").cells
    assert str(wet) == "bridge in: integrated, bridge out: separate"
    assert str(dry) == "none described"
    (feed, *_), _ = table.row("compare.ink_feed").cells
    assert str(feed) == label("feed.intermittent")


def test_every_row_and_every_word_has_a_label() -> None:
    assert all(label(row.label_key) for row in compare(two_presses()).rows)
    supplies = [f"dampening.{supply.value}-{place.value}" for supply in WaterSupply for place in BridgePosition]
    keys = [*(f"keys.{kind.value}" for kind in KeyKind), *(f"sweep.{kind.value}" for kind in SweepKind)]
    assert all(str(Word((key,))) for key in [*supplies, *keys])


def test_areas_are_those_of_the_facts() -> None:
    there = press()
    table = compare([there])
    area = facts_of(there).unit("A").ink_area
    assert table.row("compare.ink_area").cells == ((area.all_m2,),)
    assert table.row("compare.ink_area").unit == "m²"
    assert table.row("compare.ink_area_per_plate").cells == ((area.per_plate_area,),)
