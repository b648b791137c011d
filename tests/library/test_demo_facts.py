"""The facts of the demo presses come out as they were designed.

Source: the design of each press, printed in docs/workshop.md; the numbers here are worked out by hand from it.
"""

from __future__ import annotations

import math
from functools import cache

import pytest

from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press.dampening import BridgePosition, Continuity, WaterSupply
from filmsplit.press.facts import PressFacts, UnitFacts, facts_of
from filmsplit.press.interchange import Interchange, interchange_groups
from filmsplit.press.words import System

FORMS = {
    "heron": ("WF", "F1", "F2"),
    "wagtail": ("WF", "F1", "F2", "F3"),
    "lapwing": ("F1", "F2", "F3"),
    "dipper": ("F1", "F2"),
    "bittern": ("WF", "F1", "F2", "F3", "F4"),
}
"""Form rollers in the order in which the plate meets them."""

DAMPENING = {
    "heron": ({BridgePosition.ALWAYS: WaterSupply.SEPARATE}, Continuity.INTERMITTENT),
    "wagtail": (
        {BridgePosition.IN: WaterSupply.INTEGRATED, BridgePosition.OUT: WaterSupply.SEPARATE},
        Continuity.CONTINUOUS,
    ),
    "lapwing": ({BridgePosition.ALWAYS: WaterSupply.INTEGRATED}, Continuity.CONTINUOUS),
    "dipper": ({BridgePosition.ALWAYS: WaterSupply.INTEGRATED}, Continuity.INTERMITTENT),
    "bittern": ({BridgePosition.ALWAYS: WaterSupply.SEPARATE}, Continuity.CONTINUOUS),
}

ROLLERS = {"heron": 13, "wagtail": 17, "lapwing": 16, "dipper": 11, "bittern": 21}

RINGS = {
    "heron": set(),
    "wagtail": {frozenset({"F2", "D1", "S1", "D3", "S2", "D2"})},
    "lapwing": {frozenset({"D1", "S1", "D2", "S3"})},
    "dipper": set(),
    "bittern": {frozenset({"D2", "S2", "D3", "S3", "D4", "S4"})},
}

WAYS = {
    "heron": {"F1": 1, "F2": 1},
    # Upper drum to a form roller: over either lower drum, and F2 may be the way from one lower drum to the other.
    "wagtail": {"F1": 2, "F2": 2, "F3": 2},
    "lapwing": {"F1": 2, "F2": 2, "F3": 2},
    "dipper": {"F1": 1, "F2": 1},
    "bittern": {"F1": 2, "F2": 2, "F3": 2, "F4": 2},
}
"""Ways for the ink from fountain to each ink form roller, no roller passed twice, the plate not passed at all."""


@cache
def facts(press_id: str) -> PressFacts:
    return facts_of(load(demo_path(press_id)).press)


def unit_cases() -> list[pytest.param]:
    units = {"heron": "A", "wagtail": "A", "lapwing": "12", "dipper": "ABC", "bittern": "A"}
    return [pytest.param(press, unit, id=f"{press}-{unit}") for press, ids in units.items() for unit in ids]


def unit_of(press_id: str, unit_id: str) -> UnitFacts:
    return facts(press_id).unit(unit_id)


def test_units_are_those_designed() -> None:
    assert {case.values for case in unit_cases()} == {(p, u.id) for p in demo_presses() for u in facts(p).units}


@pytest.mark.parametrize(("press_id", "unit_id"), unit_cases())
def test_form_rollers_in_plate_order(press_id: str, unit_id: str) -> None:
    assert tuple(form.id for form in unit_of(press_id, unit_id).forms) == FORMS[press_id]


@pytest.mark.parametrize(("press_id", "unit_id"), unit_cases())
def test_dampening_class_by_bridge_position(press_id: str, unit_id: str) -> None:
    supplies, continuity = DAMPENING[press_id]
    dampening = unit_of(press_id, unit_id).dampening
    assert {way.position: way.supply for way in dampening.ways} == supplies
    assert dampening.continuity is continuity


@pytest.mark.parametrize(("press_id", "unit_id"), unit_cases())
def test_counts_rings_and_ways(press_id: str, unit_id: str) -> None:
    unit = unit_of(press_id, unit_id)
    assert unit.counts.rollers == ROLLERS[press_id]
    assert {frozenset(ring.members) for ring in unit.loops.of_rollers} == RINGS[press_id]
    ways = {supply.form: supply.ways for supply in unit.ink_paths.supplies}
    assert {form: ways[form] for form in WAYS[press_id]} == WAYS[press_id]


@pytest.mark.parametrize(("press_id", "unit_id"), unit_cases())
def test_ink_feed_is_ducted_but_on_one_press(press_id: str, unit_id: str) -> None:
    expected = Continuity.CONTINUOUS if press_id == "lapwing" else Continuity.INTERMITTENT
    assert unit_of(press_id, unit_id).ink_feed is expected


def test_only_one_roller_comes_round_with_the_plate() -> None:
    """Wagtail F2: plate 160.0 mm / roller 53.3 mm = 3.0019 turns; 3 x pi x 53.3 - pi x 160 = -0.31 mm a plate turn."""
    found = {(p, u.id, r.id): r.near_whole for p in demo_presses() for u in facts(p).units for r in u.near_whole}
    assert list(found) == [("wagtail", "A", "F2")]
    near = found["wagtail", "A", "F2"]
    assert near.roller_turns == 3
    assert near.walk_mm == pytest.approx(math.pi * (3 * 53.3 - 160.0))


def test_only_one_driven_roller_slips() -> None:
    """Bittern D3: (62.2 - 63.0) / 63.0 = -1.27 % of pi x 180 mm = -7.18 mm for each turn of the plate."""
    found = {(p, u.id, s.member): s for p in demo_presses() for u in facts(p).units for s in u.slips}
    assert list(found) == [("bittern", "A", "D3")]
    slip = found["bittern", "A", "D3"]
    assert slip.slip == pytest.approx(-0.8 / 63.0)
    assert slip.slip_mm_per_plate_turn == pytest.approx(-7.18, abs=0.005)


def test_no_two_form_rollers_are_nearly_equal() -> None:
    assert [pair for p in demo_presses() for unit in facts(p).units for pair in unit.nearly_equal_forms] == []


@cache
def interchange() -> Interchange:
    return interchange_groups([load(demo_path(press_id)).press for press_id in demo_presses()])


def test_one_rider_fits_two_presses() -> None:
    between = [
        {(m.press, m.roller) for m in g.members} for g in interchange().groups if g.certain and g.between_presses
    ]
    assert between == [{("heron", "R1"), ("wagtail", "R2")}]


def test_a_look_alike_fails_by_its_ends_only() -> None:
    misses = {(m.a.press, m.a.roller, m.b.press, m.b.roller): m.difference.label_key for m in interchange().near_misses}
    assert misses["heron", "DU", "wagtail", "S1"] == "interchange.ends"


def test_twins_and_units_share_spares() -> None:
    groups = [{(m.press, m.unit, m.roller) for m in group.members} for group in interchange().groups if group.certain]
    assert {("bittern", "A", "R1"), ("bittern", "A", "R2")} in groups
    assert {("dipper", unit, "D1") for unit in "ABC"} in groups


def test_what_is_unknown_is_a_perhaps() -> None:
    """Unit C of the Dipper: the rider of unknown make-up may fit where the other two do, and the answer says check."""
    rider = ("dipper", "C", "R1")
    with_it = [g for g in interchange().groups if rider in {(m.press, m.unit, m.roller) for m in g.members}]
    assert with_it
    assert not any(group.certain for group in with_it)


def test_a_distributor_that_might_fit_is_a_perhaps_by_its_ends() -> None:
    perhaps = [({(m.press, m.roller) for m in g.members}, g.check) for g in interchange().groups if g.between_presses]
    assert ({("heron", "S1"), ("wagtail", "F3")}, ("interchange.ends",)) in perhaps


def test_marks_of_the_readme_are_the_first_form_roller_of_the_heron() -> None:
    """Geometry: 12.0, 181.7, 351.3 mm are 169.65 mm apart on average = pi x 54.0 mm."""
    roller = unit_of("heron", "A").roller("F1")
    assert roller.repeat_mm == pytest.approx((351.3 - 12.0) / 2, abs=0.05)
    assert roller.system is System.INK
