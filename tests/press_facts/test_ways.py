"""Ways of ink and water, closed loops and the order on the plate, against a graph library and by looking."""

from __future__ import annotations

from random import Random

import networkx as nx
import pytest

from filmsplit.press import Unit
from filmsplit.press.facts import facts_of
from filmsplit.press.loops import loops_of
from filmsplit.press.paths import MOST_PATHS, carries, paths_of
from filmsplit.press.plate_order import form_rollers
from filmsplit.press.words import Role, System, TurnSense
from press_facts.built import SEPARATE, WATER_ROLLERS, press, roller, rolls, unit
from trains import point, random_press

SEEDS = range(60)


def random_units(seed: int) -> tuple[Unit, ...]:
    return random_press(Random(seed)).units


def graph(there: Unit, *, plate: bool, only: System | None = None) -> nx.Graph:
    members = {member.id for member in there.rollers if only is None or carries(member, only)}
    members |= {"plate"} if plate else set()
    found: nx.Graph = nx.Graph()
    found.add_nodes_from(members)
    found.add_edges_from((c.a, c.b) for c in there.contacts if {c.a, c.b} <= members)
    return found


def test_ways_of_the_two_form_train() -> None:
    ink = paths_of(unit(), System.INK)
    assert [path.rollers for path in ink.paths] == [("IF", "DU", "D1", "F1"), ("IF", "DU", "D1", "F2")]
    assert ink.shortest is not None
    assert ink.shortest.nips == ("IF/DU", "DU/D1", "D1/F1", "F1/plate")
    assert all(path.ducts for path in ink.paths)
    assert ink.parallel == ()


def test_a_rider_between_two_form_rollers_makes_parallel_ways_and_a_loop() -> None:
    there = unit([roller("R1", Role.RIDER, cover=None)], rolls("R1/F1", "R1/F2"))
    ink = paths_of(there, System.INK)
    assert [(supply.form, supply.ways, supply.fewest_nips) for supply in ink.parallel] == [("F1", 2, 4), ("F2", 2, 4)]
    (ring,) = loops_of(there).of_rollers
    assert set(ring.members) == {"D1", "F1", "R1", "F2"}


@pytest.mark.parametrize("seed", SEEDS)
def test_ink_ways_are_all_simple_ways(seed: int) -> None:
    """Oracle: networkx.all_simple_paths over the ink and shared rollers. A bridge may add ways over dampening forms."""
    for there in random_units(seed):
        mine = paths_of(there, System.INK)
        assert mine.complete
        own = [path.rollers for path in mine.paths if all(carries(there.roller(id), System.INK) for id in path.rollers)]
        ink = graph(there, plate=True, only=System.INK)
        oracle = {tuple(way[:-1]) for way in nx.all_simple_paths(ink, "IF", "plate")}
        assert len(own) == len(set(own))
        assert set(own) == oracle
        assert [len(path.nips) for path in mine.paths] == sorted(len(path.nips) for path in mine.paths)


@pytest.mark.parametrize("seed", SEEDS)
def test_loops_are_those_of_the_graph(seed: int) -> None:
    """Oracle: networkx cycle basis (how many) and minimum cycle basis (how short)."""
    for there in random_units(seed):
        loops = loops_of(there)
        alone, with_plate = graph(there, plate=False), graph(there, plate=True)
        assert loops.independent_rings == len(nx.cycle_basis(alone))
        assert loops.independent_with_plate == len(nx.cycle_basis(with_plate))
        for ring in loops.rings:
            edges = zip(ring.members, ring.members[1:] + ring.members[:1], strict=True)
            assert all(with_plate.has_edge(a, b) for a, b in edges)
            assert len(set(ring.members)) == len(ring.members) >= 3
        shortest = sorted(len(cycle) for cycle in nx.minimum_cycle_basis(alone))[:1]
        assert sorted(len(ring.members) for ring in loops.of_rollers)[:1] == shortest


def test_the_random_trains_do_have_loops() -> None:
    """Otherwise the test above could not fail."""
    units = [there for seed in SEEDS for there in random_units(seed)]
    assert sum(bool(loops_of(there).of_rollers) for there in units) >= 10


def test_water_does_not_wander_through_the_ink_train() -> None:
    there = unit(WATER_ROLLERS[:2], [*SEPARATE[:1], *rolls("WT/F1")])
    water = paths_of(there, System.DAMPENING)
    assert [path.rollers for path in water.paths] == [("WP", "WT", "F1")]


def test_a_thicket_of_contacts_is_cut_short_and_says_so() -> None:
    ids = [f"X{n}" for n in range(24)]
    thicket = [roller(id, Role.DISTRIBUTOR) for id in ids]
    every_pair = rolls(*(f"{a}/{b}" for n, a in enumerate(ids) for b in ids[n + 1 :]), "X0/D1", "X23/F1")
    facts = facts_of(press(unit(thicket, every_pair)))
    ink = facts.unit("A").ink_paths
    assert not ink.complete
    assert len(ink.paths) <= MOST_PATHS
    assert ink.shortest is not None
    assert len(ink.shortest.nips) == 4
    assert "paths-cut-short" in [finding.slug for finding in facts.findings]


# The blanket is below the plate. Clockwise, a place on the plate goes from there to the left, over the top, to the
# right (by looking at a clock). F1 is on the left, F2 on the right, WF left and low.
@pytest.mark.parametrize(
    ("turns", "order"),
    [(TurnSense.CLOCKWISE, ["WF", "F1", "F2"]), (TurnSense.ANTICLOCKWISE, ["F2", "F1", "WF"])],
)
def test_order_on_the_plate(turns: TurnSense, order: list[str]) -> None:
    forms = form_rollers(unit(WATER_ROLLERS, SEPARATE, turns=turns))
    assert [form.id for form in forms] == order
    assert [form.order for form in forms] == [1, 2, 3]


def test_degrees_after_the_blanket() -> None:
    left = roller("F3", Role.FORM, centre=point((-110, 0)))
    forms = {form.id: form for form in form_rollers(unit([left], rolls("F3/plate")))}
    # By looking at a clock: from six o'clock, clockwise, nine o'clock is a quarter of a turn on.
    assert forms["F3"].after_blanket_deg == pytest.approx(90.0)


def test_without_a_survey_there_are_no_degrees() -> None:
    lost = roller("F0", Role.FORM, centre=None)
    forms = form_rollers(unit([lost], rolls("F0/plate")))
    assert [form.id for form in forms] == ["F1", "F2", "F0"]
    assert {form.after_blanket_deg for form in forms} == {None}


def test_water_is_followed_to_the_first_shared_form_roller() -> None:
    shared = roller("F0", Role.FORM, System.SHARED)
    there = unit([*WATER_ROLLERS[:2], shared], [*SEPARATE[:1], *rolls("WT/F0", "F0/D1", "F0/plate")])
    assert [path.rollers for path in paths_of(there, System.DAMPENING).paths] == [("WP", "WT", "F0")]


def test_ink_that_went_over_to_the_dampening_does_not_count_as_coming_back() -> None:
    there = unit(WATER_ROLLERS, [*SEPARATE, *rolls("WT/D1", "WT/F1")])
    ways = [path.rollers for path in paths_of(there, System.INK).paths]
    # By looking: it may go over at D1 or at F1 and reach the plate by WF, but D1 - WT - F1 is no way for ink.
    assert ways == [
        ("IF", "DU", "D1", "F1"),
        ("IF", "DU", "D1", "F2"),
        ("IF", "DU", "D1", "WT", "WF"),
        ("IF", "DU", "D1", "F1", "WT", "WF"),
    ]
