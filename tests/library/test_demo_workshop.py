"""The demo workshop contains what it is there to show.

Source of the list: the plan of the workshop as printed in docs/workshop.md; words as in the glossary. The assertions
look at the loaded press data itself, not at the facts computed from them, so that facts can be tested against it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import pairwise

import networkx as nx
import pytest

from filmsplit.formats.press_file import LoadedPress, load
from filmsplit.library.workshop import demo_path, demo_presses, demo_workshop
from filmsplit.press import Adjuster, Press, Roller, Unit
from filmsplit.press.words import (
    AdjusterKind,
    BladeKind,
    ContactKind,
    KeyKind,
    Material,
    MotionKind,
    Role,
    SweepKind,
    System,
)


@cache
def loaded(press_id: str) -> LoadedPress:
    return load(demo_path(press_id))


def presses() -> list[Press]:
    return [loaded(press_id).press for press_id in demo_presses()]


def units() -> Iterator[tuple[Press, Unit]]:
    for press in presses():
        for unit in press.units:
            yield press, unit


def ink_forms(unit: Unit) -> list[Roller]:
    """Form rollers that bring ink to the plate (those shared with the dampening among them)."""
    return [r for r in unit.rollers if r.role is Role.FORM and r.system is not System.DAMPENING]


def net(unit: Unit, *, kinds: tuple[ContactKind, ...] = tuple(ContactKind), without: str = "") -> nx.Graph:
    """Members joined by contacts of the given kinds, leaving out one roller."""
    graph = nx.Graph([(c.a, c.b) for c in unit.contacts if c.kind in kinds])
    if without:
        graph.remove_node(without)
    return graph


def water_reaches_inked_roller(unit: Unit, *, bridge_in: bool) -> bool:
    """Whether the pan is joined to an ink or shared form roller by rollers alone, the plate left out."""
    graph = net(unit, without="plate")
    if not bridge_in:
        bridges = {r.id for r in unit.rollers if r.role is Role.BRIDGE}
        graph.remove_edges_from([(c.a, c.b) for c in unit.contacts if c.throws_off and {c.a, c.b} & bridges])
    pan = next(r.id for r in unit.rollers if r.role is Role.PAN)
    return any(nx.has_path(graph, pan, form.id) for form in ink_forms(unit))


def ducts_water(unit: Unit) -> bool:
    return any(r.motion.kind is MotionKind.DUCTS and r.system is System.DAMPENING for r in unit.rollers)


def adjusters(press: Press) -> Iterator[Adjuster]:
    for unit in press.units:
        for contact in unit.contacts:
            yield from (a for a in (contact.adjusters.operator, contact.adjusters.gear) if a is not None)


def test_workshop_is_invented_and_says_so() -> None:
    assert demo_workshop().invented
    assert len(set(demo_presses())) == len(demo_presses()) >= 4
    assert all(press.invented for press in presses())


JOINED = "ink-and-dampening-joined"
INTENDED = {"heron": (), "wagtail": (JOINED,), "lapwing": (JOINED,) * 2, "dipper": (JOINED,) * 3, "bittern": ()}
"""What loading says about each press, and is meant to: one line for each unit in which water and ink share rollers."""


@pytest.mark.parametrize("press_id", demo_presses())
def test_press_file_loads_and_says_only_what_is_meant(press_id: str) -> None:
    """No refusal, no warning. Facts have more to say: see ``test_demo_facts``."""
    assert loaded(press_id).press.id == press_id
    assert tuple(problem.slug for problem in loaded(press_id).notices) == INTENDED[press_id]


def test_unknown_press_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        demo_path("no-such-press")


def test_presses_of_one_two_and_more_units() -> None:
    counts = {len(press.units) for press in presses()}
    assert {1, 2} <= counts
    assert max(counts) > 2


def test_two_three_and_four_ink_form_rollers_of_unequal_diameters() -> None:
    assert {len(ink_forms(unit)) for _, unit in units()} == {2, 3, 4}
    for _, unit in units():
        diameters = sorted(form.diameter_mm for form in ink_forms(unit))
        assert all(b - a >= 1.4 for a, b in pairwise(diameters)), unit


def test_a_bridge_that_can_be_in_and_out() -> None:
    bridged = [u for _, u in units() if any(r.role is Role.BRIDGE for r in u.rollers)]
    assert bridged
    for unit in bridged:
        assert water_reaches_inked_roller(unit, bridge_in=True)
        assert not water_reaches_inked_roller(unit, bridge_in=False)


def test_ducting_and_continuous_integrated_and_separate_dampening() -> None:
    classes = {(ducts_water(unit), water_reaches_inked_roller(unit, bridge_in=True)) for _, unit in units()}
    assert classes == {(True, True), (True, False), (False, True), (False, False)}


def test_ductor_and_continuous_ink_feed() -> None:
    ducted = {
        any(r.motion.kind is MotionKind.DUCTS and r.system is System.INK for r in unit.rollers) for _, unit in units()
    }
    assert ducted == {True, False}


def test_slipping_nips_state_their_speed_ratio() -> None:
    slipping = [(unit, c) for _, unit in units() for c in unit.contacts if c.kind is ContactKind.SLIPS]
    assert {unit.roller(c.a).system for unit, c in slipping} >= {System.INK, System.DAMPENING}
    assert all(c.speed_ratio is not None and c.speed_ratio < 1 for _, c in slipping)


def test_slipping_roller_turns_as_its_speed_ratio_says() -> None:
    """Geometry, partner at press speed: turns per plate turn = speed ratio x plate / own circumference."""
    for _, unit in units():
        for contact in unit.contacts:
            if contact.kind is ContactKind.SLIPS:
                roller = unit.roller(contact.a)
                expected = contact.speed_ratio * unit.cylinders.plate.circumference_mm / roller.circumference_mm
                assert roller.drive.turns_per_plate_turn == pytest.approx(expected, rel=0.005)


def test_riders_soft_and_hard_touch_one_roller_each() -> None:
    riders = [(unit, r) for _, unit in units() for r in unit.rollers if r.role is Role.RIDER]
    assert {rider.is_soft for _, rider in riders} == {True, False}
    assert all(len(unit.contacts_of(rider.id)) == 1 for unit, rider in riders)


def test_parallel_paths_and_closed_loop_of_rollers() -> None:
    """Between ink fountain and a form roller two ways, and a ring of contacts that does not need the plate."""
    parallel, rings = 0, set()
    for _, unit in units():
        graph = net(unit, without="plate")
        ways = [len(list(nx.all_simple_paths(graph, unit.fountain.roller, form.id))) for form in ink_forms(unit)]
        parallel += max(ways) > 1
        rings |= {len(ring) for ring in nx.minimum_cycle_basis(graph)}
    assert parallel >= 2
    assert {4, 6} <= rings


def test_rolling_contacts_can_turn() -> None:
    """An odd ring of rolling contacts jams; even ones only means two-colourable (graph theory)."""
    for press, unit in units():
        assert nx.is_bipartite(net(unit, kinds=(ContactKind.ROLLS,))), press.id


def test_keys_blades_and_sweeps_of_every_kind() -> None:
    fountains = [unit.fountain for _, unit in units()]
    assert {fountain.keys.kind for fountain in fountains} == set(KeyKind)
    assert {fountain.sweep.kind for fountain in fountains} == set(SweepKind)
    assert {fountain.blade for fountain in fountains} == set(BladeKind)
    assert {fountain.keys.film_um_per_division is None for fountain in fountains} == {True, False}


def test_zones_cover_the_sheet_and_stay_on_the_face() -> None:
    for press, unit in units():
        zones_mm = sum(unit.fountain.zone_widths_mm)
        assert press.sheet_width_mm <= zones_mm <= press.face_mm - unit.fountain.first_zone_mm


def test_sheet_and_gap_go_round_the_plate() -> None:
    """The longest sheet and the gap fit the plate; plate and blanket have one circumference and one gap."""
    for press, unit in units():
        plate, blanket = unit.cylinders.plate, unit.cylinders.blanket
        assert press.sheet_length_mm + plate.gap_mm <= plate.circumference_mm
        assert blanket.circumference_mm == pytest.approx(plate.circumference_mm)
        assert blanket.gap_mm == plate.gap_mm


def test_hand_wheel_yes_and_no() -> None:
    assert {press.hand_wheel for press in presses()} == {True, False}


def test_adjusters_of_each_kind() -> None:
    found = [adjuster for press in presses() for adjuster in adjusters(press)]
    assert {adjuster.kind for adjuster in found} == set(AdjusterKind)
    assert any(adjuster.also_moves for adjuster in found)
    assert any(adjuster.backlash_deg is None for adjuster in found)
    assert any(adjuster.travel_left_mm is None for adjuster in found)


def test_adjuster_moves_another_contact_of_the_same_roller() -> None:
    for _, unit in units():
        by_id = {contact.id: contact for contact in unit.contacts}
        for contact in unit.contacts:
            for adjuster in (contact.adjusters.operator, contact.adjusters.gear):
                if adjuster is not None and adjuster.also_moves is not None:
                    other = by_id[adjuster.also_moves]
                    assert other is not contact
                    assert {contact.a, contact.b} & {other.a, other.b}


def test_honest_unknowns() -> None:
    """As in a shop: masses nobody weighed, covers nobody cut open, ends of a roller that came second-hand."""
    assumed = {assumption.path[-1] for press in presses() for assumption in press.assumptions}
    assert {"mass_kg", "thickness_mm", "hardness_shore_a", "ends", "journal_mm", "target_mm", "stroke_mm"} <= assumed


def test_bare_and_cloth_covered_damp_forms_and_hard_covers() -> None:
    covers = {r.cover.material for _, unit in units() for r in unit.rollers if r.cover is not None}
    assert {Material.CLOTH, Material.NYLON, Material.EBONITE, Material.NITRILE, Material.POLYURETHANE} <= covers
