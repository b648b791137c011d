"""Which way members turn, and loops that cannot."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import networkx as nx
import pytest

import trains
from filmsplit.press.bodies import joints_of
from filmsplit.press.nips import rounds_of
from filmsplit.press.survey import survey
from filmsplit.press.turning import jams_of, senses_of
from filmsplit.press.words import ContactKind, SlipDirection, TurnSense
from three_rollers import three_rollers

SEEDS = range(60)


def with_contact(unit, a, b, kind=ContactKind.ROLLS, **given):
    return replace(unit, contacts=(*unit.contacts, trains.build_contact(a, b, kind, **given)))


def test_three_in_a_ring_jam_and_are_named_in_order():
    jammed = with_contact(three_rollers(), "D1", "plate")
    problems = [problem for problem in survey(trains.build_press(jammed)).problems if problem.slug == "train-jams"]
    assert [problem.values["loop"] for problem in problems] == ["plate – F1 – D1 – plate"]
    assert problems[0].path == ("units", "A", "contacts", "D1/plate")


@pytest.mark.parametrize("kind", [ContactKind.SLIPS, ContactKind.TOUCHES])
def test_slipping_and_passing_contacts_jam_nothing(kind):
    assert jams_of(with_contact(three_rollers(), "D1", "plate", kind, speed_ratio=0.9)) == ()


def test_four_in_a_ring_turn():
    assert jams_of(with_contact(three_rollers(), "R1", "plate")) == ()


@pytest.mark.parametrize("seed", SEEDS)
def test_jams_agree_with_two_colouring(seed):
    """Whether a contact graph has an odd loop is asked of networkx, an independent library."""
    rng = Random(seed)
    unit = trains.random_unit(rng)
    names = unit.member_ids
    for _ in range(rng.randint(0, 2)):
        a, b = rng.sample(names, 2)
        unit = with_contact(unit, a, b)
    rolling = [joint for joint in joints_of(unit) if joint.kind is ContactKind.ROLLS]
    graph = nx.Graph([(joint.a, joint.b) for joint in rolling])
    jams = jams_of(unit)
    assert (jams == ()) == nx.is_bipartite(graph)
    for loop in jams:
        assert len(loop) % 2 == 1
        assert len(set(loop)) == len(loop)
        assert all(graph.has_edge(a, b) for a, b in zip(loop, loop[1:] + loop[:1], strict=True))


@pytest.mark.parametrize("seed", SEEDS)
def test_partners_turn_opposite_ways_and_arcs_fill_the_round(seed):
    unit = trains.random_unit(Random(seed))
    senses = senses_of(unit)
    assert all(senses.values())
    for joint in joints_of(unit):
        opposite = joint.contact is not None and joint.contact.slip_direction is SlipDirection.OPPOSITE
        assert (senses[joint.a] is senses[joint.b]) == (opposite and joint.kind is ContactKind.SLIPS)
    for round_ in rounds_of(unit):
        assert sum(stop.arc_mm for stop in round_.stops) == pytest.approx(round_.length_mm, rel=1e-12)
        assert all(stop.arc_mm > 0 for stop in round_.stops)


def test_slipping_surfaces_that_run_against_each_other_turn_alike():
    unit = with_contact(three_rollers(), "R1", "F9", ContactKind.SLIPS, slip_direction=SlipDirection.OPPOSITE)
    unit = replace(unit, rollers=(*unit.rollers, trains.build_roller("F9", 40.0)))
    assert senses_of(unit)["F9"] is TurnSense.ANTICLOCKWISE
    assert senses_of(unit)["R1"] is TurnSense.ANTICLOCKWISE


def test_a_slip_direction_against_the_rolling_contacts_is_named():
    # D1 turns clockwise and so does the plate: where they meet their surfaces run against each other.
    unit = with_contact(three_rollers(), "D1", "plate", ContactKind.SLIPS, slip_direction=SlipDirection.SAME)
    assert "slip-direction-disagrees" in {problem.slug for problem in survey(trains.build_press(unit)).problems}
    unit = with_contact(three_rollers(), "D1", "plate", ContactKind.SLIPS, slip_direction=SlipDirection.OPPOSITE)
    assert "slip-direction-disagrees" not in {problem.slug for problem in survey(trains.build_press(unit)).problems}


def test_a_roller_that_nothing_leads_to_has_no_turn():
    unit = three_rollers()
    assert senses_of(replace(unit, contacts=unit.contacts[:2]))["R1"] is None
