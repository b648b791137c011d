"""Which rollers interchange: by construction, each pair differing in one known thing."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import networkx as nx
import pytest

from filmsplit.messages import label
from filmsplit.numerics.cliques import maximal_cliques
from filmsplit.press import Assumption, Core, Cover, Press, Roller
from filmsplit.press.fits import ENDS, FACE, HARDNESS, UNITS, InterchangeTolerances, RollerPlace
from filmsplit.press.interchange import Interchange, interchange_groups
from filmsplit.press.words import Material, Role
from press_facts.built import press, roller, rolls, unit

COVER = Cover(material=Material.NITRILE, thickness_mm=8.0, hardness_shore_a=30.0)
CORE = Core(material=Material.STEEL, ends="round 12 mm, open hook", journal_mm=12.0)


def rider(id: str, *, mm: float = 31.0, **given: object) -> Roller:
    return roller(id, Role.RIDER, mm=mm, **({"cover": COVER, "core": CORE} | given))


def shop(*riders: Roller, assumptions: tuple[Assumption, ...] = ()) -> Press:
    there = press(unit(list(riders), rolls(*(f"{one.id}/D1" for one in riders))))
    return replace(there, assumptions=assumptions)


def assumed(roller_id: str, *field: str) -> Assumption:
    path = ("units", "A", "rollers", roller_id, *field)
    return Assumption(path, 0.0, "", "common practice", None, ())


def together(found: Interchange, *ids: str) -> bool:
    return any(set(ids) <= {member.roller for member in group.members} for group in found.groups)


def test_twins_interchange() -> None:
    found = interchange_groups([shop(rider("R1"), rider("R2"))])
    (group,) = [g for g in found.groups if "R1" in {member.roller for member in g.members}]
    assert group.certain
    assert group.members == (RollerPlace("random", "A", "R1"), RollerPlace("random", "A", "R2"))
    assert not group.between_presses


# One thing changed, and whether the pair still interchanges. Tolerances: those stated, common practice.
CHANGES = [
    ({"mm": 31.2}, True),
    ({"mm": 31.21}, False),
    ({"face_mm": 341.0}, True),
    ({"face_mm": 341.5}, False),
    ({"cover": replace(COVER, thickness_mm=8.5)}, True),
    ({"cover": replace(COVER, thickness_mm=8.6)}, False),
    ({"cover": replace(COVER, hardness_shore_a=35.0)}, True),
    ({"cover": replace(COVER, hardness_shore_a=36.0)}, False),
    ({"cover": replace(COVER, material=Material.EPDM)}, False),
    ({"cover": None}, False),
    ({"core": replace(CORE, journal_mm=12.05)}, True),
    ({"core": replace(CORE, journal_mm=12.1)}, False),
    ({"core": replace(CORE, ends="keyed")}, False),
    ({"core": replace(CORE, ends="Round 12 mm,  open hook")}, True),
    ({"core": replace(CORE, material=Material.COPPER)}, True),
    ({"mass_kg": 9.0}, True),
]


@pytest.mark.parametrize(("change", "fits"), CHANGES)
def test_one_thing_changed(change: dict[str, object], fits: bool) -> None:
    assert together(interchange_groups([shop(rider("R1"), rider("R2", **change))]), "R1", "R2") is fits  # type: ignore[arg-type]


def test_a_near_miss_says_what_and_by_how_much() -> None:
    found = interchange_groups([shop(rider("R1"), rider("R2", mm=31.7))])
    (miss,) = [m for m in found.near_misses if {m.a.roller, m.b.roller} == {"R1", "R2"}]
    assert label(miss.difference.label_key) == "diameter"
    assert miss.difference.by == pytest.approx(0.7)
    assert miss.difference.allowed == pytest.approx(0.2)
    assert miss.difference.unit == "mm"


def test_two_differences_are_no_near_miss() -> None:
    found = interchange_groups([shop(rider("R1"), rider("R2", mm=31.7, face_mm=343.0))])
    assert not [m for m in found.near_misses if {m.a.roller, m.b.roller} == {"R1", "R2"}]


def test_tolerances_can_be_changed() -> None:
    wide = InterchangeTolerances(diameter_mm=1.0)
    assert together(interchange_groups([shop(rider("R1"), rider("R2", mm=31.7))], tolerances=wide), "R1", "R2")


@pytest.mark.parametrize("ends", ["unknown", ""])
def test_unknown_ends_are_never_a_yes(ends: str) -> None:
    found = interchange_groups([shop(rider("R1"), rider("R2", core=replace(CORE, ends=ends)))])
    (group,) = [g for g in found.groups if {"R1", "R2"} <= {m.roller for m in g.members}]
    assert not group.certain
    assert group.check == (ENDS,)


def test_ends_that_nobody_wrote_down_on_either() -> None:
    bare = replace(CORE, ends="unknown")
    found = interchange_groups([shop(rider("R1", core=bare), rider("R2", core=bare))])
    assert all(not group.certain for group in found.groups if {m.roller for m in group.members} & {"R1", "R2"})


def test_an_assumed_hardness_speaks_neither_for_nor_against() -> None:
    soft = replace(COVER, hardness_shore_a=20.0)
    there = shop(rider("R1"), rider("R2", cover=soft), assumptions=(assumed("R2", "cover", "hardness_shore_a"),))
    (group,) = [g for g in interchange_groups([there]).groups if {"R1", "R2"} <= {m.roller for m in g.members}]
    assert group.check == (HARDNESS,)


def test_an_unknown_diameter_says_nothing_at_all() -> None:
    there = shop(rider("R1"), rider("R2"), assumptions=(assumed("R2", "diameter_mm"),))
    found = interchange_groups([there])
    assert not together(found, "R1", "R2")
    assert found.unmeasured == (RollerPlace("random", "A", "R2"),)


def test_a_face_taken_from_the_press_is_known() -> None:
    there = shop(rider("R1"), rider("R2"), assumptions=(assumed("R2", "face_mm"),))
    assert [
        g for g in interchange_groups([there]).groups if g.certain and together(interchange_groups([there]), "R1", "R2")
    ]
    press_face = Assumption(("face_mm",), 340.0, "mm", "common practice", 50.0, ())
    unknown = replace(there, assumptions=(*there.assumptions, press_face))
    (group,) = [g for g in interchange_groups([unknown]).groups if {"R1", "R2"} <= {m.roller for m in g.members}]
    assert group.check == (FACE,)


def test_a_fit_is_not_passed_on() -> None:
    found = interchange_groups([shop(rider("R1"), rider("R2", mm=31.15), rider("R3", mm=31.3))])
    assert together(found, "R1", "R2")
    assert together(found, "R2", "R3")
    assert not together(found, "R1", "R3")


def test_between_presses() -> None:
    one, other = shop(rider("R1")), replace(shop(rider("R7")), id="other")
    groups = [g for g in interchange_groups([one, other]).groups if "R7" in {m.roller for m in g.members}]
    assert groups == [g for g in groups if g.between_presses and g.certain]
    assert {member.press for member in groups[0].members} == {"random", "other"}


def test_every_key_has_a_label_and_a_tolerance() -> None:
    assert all(label(key) and InterchangeTolerances().of(key) > 0 for key in UNITS)


@pytest.mark.parametrize("seed", range(40))
def test_cliques_are_those_of_a_graph_library(seed: int) -> None:
    """Oracle: networkx.find_cliques."""
    rng = Random(seed)
    size = rng.randint(0, 14)
    graph: nx.Graph = nx.gnp_random_graph(size, rng.random(), seed=seed)
    oracle = {tuple(sorted(clique)) for clique in nx.find_cliques(graph) if len(clique) > 1}
    mine = list(maximal_cliques({node: set(graph[node]) for node in graph}))
    assert len(mine) == len(set(mine))
    assert set(mine) == oracle
