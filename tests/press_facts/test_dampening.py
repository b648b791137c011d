"""Class of dampening with its reason, for the arrangements the trade tells apart (common practice)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from filmsplit.press import Unit
from filmsplit.press.dampening import BridgePosition, Continuity, WaterSupply, dampening_of
from filmsplit.press.facts import facts_of
from filmsplit.press.words import Role, System
from press_facts.built import SEPARATE, WATER_ROLLERS, ductor, press, roller, rolls, thrown_off, touches, unit

PAN_AND_TRANSFER = WATER_ROLLERS[:2]
BRIDGE = roller("BR", Role.BRIDGE, System.SHARED)


def ways(there: Unit) -> list[tuple[BridgePosition, WaterSupply]]:
    return [(way.position, way.supply) for way in dampening_of(there).ways]


def test_no_dampening() -> None:
    there = unit()
    assert ways(there) == [(BridgePosition.ALWAYS, WaterSupply.NONE)]
    assert dampening_of(there).continuity is Continuity.NONE


def test_separate() -> None:
    found = dampening_of(unit(WATER_ROLLERS, SEPARATE))
    (way,) = found.ways
    assert (way.supply, way.own_forms, way.ink_forms) == (WaterSupply.SEPARATE, ("WF",), ())
    assert way.reason_path is not None
    assert way.reason_path.rollers == ("WP", "WT", "WF")
    assert found.continuity is Continuity.CONTINUOUS


def test_integrated_over_the_first_ink_form_roller() -> None:
    there = unit(PAN_AND_TRANSFER, [*SEPARATE[:1], *rolls("WT/F1")])
    (way,) = dampening_of(there).ways
    assert (way.supply, way.ink_forms) == (WaterSupply.INTEGRATED, ("F1",))


def test_integrated_over_a_shared_form_roller_that_ink_reaches() -> None:
    shared = roller("F0", Role.FORM, System.SHARED)
    there = unit([*PAN_AND_TRANSFER, shared], [*SEPARATE[:1], *rolls("WT/F0", "F0/D1", "F0/plate")])
    assert ways(there) == [(BridgePosition.ALWAYS, WaterSupply.INTEGRATED)]


def test_a_bridge_joins_and_separates() -> None:
    bridged = [thrown_off("BR/WF"), *rolls("BR/F1")]
    found = dampening_of(unit([*WATER_ROLLERS, BRIDGE], [*SEPARATE, *bridged]))
    assert found.bridges == ("BR",)
    assert found.switchable
    joined, apart = found.ways
    assert (joined.position, joined.supply) == (BridgePosition.IN, WaterSupply.INTEGRATED)
    assert (joined.ink_forms, joined.own_forms) == (("F1",), ("WF",))
    assert joined.reason_path is not None
    assert joined.reason_path.rollers == ("WP", "WT", "WF", "BR", "F1")
    assert (apart.position, apart.supply) == (BridgePosition.OUT, WaterSupply.SEPARATE)


@pytest.mark.parametrize("system", list(System))
def test_the_bridge_may_be_booked_under_any_system(system: System) -> None:
    bridge = replace(BRIDGE, system=system)
    there = unit([*WATER_ROLLERS, bridge], [*SEPARATE, thrown_off("BR/WF"), *rolls("BR/F1")])
    supplies = [supply for _, supply in ways(there)]
    assert supplies == [WaterSupply.INTEGRATED, WaterSupply.SEPARATE]


def test_a_bridge_that_cannot_be_thrown_off_always_joins() -> None:
    there = unit([*WATER_ROLLERS, BRIDGE], [*SEPARATE, *rolls("BR/WF", "BR/F1")])
    assert ways(there) == [(BridgePosition.ALWAYS, WaterSupply.INTEGRATED)]


def test_a_shared_form_roller_works_as_a_water_roller_while_the_bridge_is_out() -> None:
    shared = roller("F0", Role.FORM, System.SHARED)
    contacts = [*SEPARATE[:1], *rolls("WT/F0", "F0/plate", "BR/D1"), thrown_off("BR/F0")]
    there = unit([*PAN_AND_TRANSFER, shared, BRIDGE], contacts)
    assert ways(there) == [(BridgePosition.IN, WaterSupply.INTEGRATED), (BridgePosition.OUT, WaterSupply.SEPARATE)]


def test_a_bridge_inside_the_ink_train_says_nothing_about_water() -> None:
    inner = [roller("BI", Role.BRIDGE), roller("D2", Role.DRUM, cover=None)]
    there = unit([*WATER_ROLLERS, *inner], [*SEPARATE, thrown_off("BI/D1"), *rolls("BI/D2")])
    assert ways(there) == [(BridgePosition.ALWAYS, WaterSupply.SEPARATE)]


def test_water_that_only_the_bridge_brings() -> None:
    there = unit([*PAN_AND_TRANSFER, BRIDGE], [*SEPARATE[:1], thrown_off("BR/WT"), *rolls("BR/F1")])
    assert ways(there) == [(BridgePosition.IN, WaterSupply.INTEGRATED), (BridgePosition.OUT, WaterSupply.NONE)]
    slugs = [finding.slug for finding in facts_of(press(there)).findings]
    assert "dampening-cut-off" in slugs


def test_any_ducting_member_makes_it_intermittent() -> None:
    chain = [touches("WP/WD"), touches("WD/WT"), *rolls("WT/WF", "WF/plate")]
    found = dampening_of(unit([*WATER_ROLLERS, ductor("WD", System.DAMPENING)], chain))
    assert found.continuity is Continuity.INTERMITTENT
    assert found.ductors == ("WD",)


def test_water_without_a_pan_arrives_without_contact() -> None:
    there = unit(WATER_ROLLERS[1:], SEPARATE[1:])
    assert ways(there) == [(BridgePosition.ALWAYS, WaterSupply.CONTACTLESS)]


def test_every_class_has_its_sentence() -> None:
    there = unit([*WATER_ROLLERS, BRIDGE], [*SEPARATE, thrown_off("BR/WF"), *rolls("BR/F1")])
    said = {finding.slug: finding.what for finding in facts_of(press(there)).findings}
    assert "WP – WT – WF – BR – F1 – plate" in said["dampening-integrated"]
    assert "BR out" in said["dampening-separate"]
    assert "dampening-continuous" in said
