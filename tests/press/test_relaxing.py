"""Rough centres become true ones: exact, near, and the same however the picture lies."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import pytest

import trains
from filmsplit.messages import Severity
from filmsplit.press import Press
from filmsplit.press.bodies import centre_of, joints_of, radius_mm, with_centres
from filmsplit.press.nips import rounds_of
from filmsplit.press.plate_order import form_rollers
from filmsplit.press.relax import CLOSED_MM, OVERLAP_TOLERANCE_MM
from filmsplit.press.survey import survey
from filmsplit.press.turning import senses_of
from filmsplit.press.words import ContactKind, MotionKind

SEEDS = range(120)
READING_MM = 3.0
"""Reading a picture: up to 3 mm each way, 4.2 mm in all (common practice for a wall chart of a small press)."""


def _apart_mm(unit, a, b):
    return math.dist(centre_of(unit, a), centre_of(unit, b)) - radius_mm(unit, a) - radius_mm(unit, b)


def _assert_layout_holds(press: Press) -> None:
    """Checked from the definitions, pair by pair, without the code under test."""
    for unit in press.units:
        permanent = {joint.pair for joint in joints_of(unit) if joint.kind is not ContactKind.TOUCHES}
        for i, a in enumerate(unit.member_ids):
            for b in unit.member_ids[i + 1 :]:
                apart_mm = _apart_mm(unit, a, b)
                if frozenset((a, b)) in permanent:
                    assert abs(apart_mm) <= CLOSED_MM, (a, b)
                else:
                    assert apart_mm >= -OVERLAP_TOLERANCE_MM, (a, b)
        for roller in unit.rollers:
            if roller.motion.kind is MotionKind.DUCTS:
                partners = [contact.other(roller.id) for contact in unit.contacts_of(roller.id)]
                assert sum(_apart_mm(unit, roller.id, name) for name in partners) <= roller.motion.swing_mm + 1e-6


def test_the_random_trains_have_what_makes_them_hard():
    units = [unit for seed in SEEDS for unit in trains.random_press(Random(seed)).units]
    assert all(sum(contact.joins("plate") for contact in unit.contacts) >= 2 for unit in units)
    assert all(any(roller.motion.kind is MotionKind.OSCILLATES for roller in unit.rollers) for unit in units)
    # More contacts than rollers (the plate counted among the members): at least one loop.
    loops = [len(unit.contacts) > len(unit.rollers) for unit in units]
    assert sum(loops) / len(units) >= 0.5


@pytest.mark.parametrize("seed", SEEDS)
def test_exact_centres_stay_to_the_bit(seed):
    press = trains.random_press(Random(seed))
    _assert_layout_holds(press)
    found = survey(press)
    assert found.press == press
    assert found.moves == ()
    assert found.refusals == ()


@pytest.mark.parametrize("seed", SEEDS)
def test_rough_centres_find_a_layout_near_the_known_one(seed):
    known = trains.random_press(Random(seed))
    found = survey(trains.perturbed(known, Random(seed + 1_000_000), READING_MM))
    assert found.refusals == ()
    _assert_layout_holds(found.press)
    for unit, true in zip(found.press.units, known.units, strict=True):
        away_mm = [math.dist(centre_of(unit, name), centre_of(true, name)) for name in unit.member_ids]
        # The known layout is one way to close the contacts, the nearest one is closer to what was read. Nobody ends
        # further than twice the largest reading error from the truth, the typical member closer than one.
        assert max(away_mm) <= 2 * READING_MM * math.sqrt(2)
        assert sorted(away_mm)[len(away_mm) // 2] <= READING_MM
        assert senses_of(unit) == senses_of(true)
        assert [form.id for form in form_rollers(unit)] == [form.id for form in form_rollers(true)]


@pytest.mark.parametrize("seed", SEEDS[::4])
def test_surveying_twice_changes_nothing_more(seed):
    rough = trains.perturbed(trains.random_press(Random(seed)), Random(seed), READING_MM)
    once = survey(rough).press
    assert survey(once).press == once


def _turned(place):
    angle = 0.7
    x, y = place
    return (x * math.cos(angle) - y * math.sin(angle) + 31.0, x * math.sin(angle) + y * math.cos(angle) - 17.0)


def _shifted(place):
    return (place[0] - 250.0, place[1] + 75.0)


def _mirrored(place):
    return (-place[0], place[1])


@pytest.mark.parametrize(("move", "reverse"), [(_turned, False), (_shifted, False), (_mirrored, True)])
@pytest.mark.parametrize("seed", SEEDS[::4])
def test_how_the_picture_lies_does_not_matter(seed, move, reverse):
    rough = trains.perturbed(trains.random_press(Random(seed)), Random(seed), READING_MM)
    one, two = survey(rough), survey(trains.moved(rough, move, reverse=reverse))
    assert [problem.slug for problem in one.problems] == [problem.slug for problem in two.problems]
    # 1e-5 mm: the search stops at steps of 1e-7 mm, a hundredth of what a drawing of any size could show.
    assert [m.moved_mm for m in one.moves] == pytest.approx([m.moved_mm for m in two.moves], abs=1e-5)
    for unit, other in zip(one.press.units, two.press.units, strict=True):
        senses, others = senses_of(unit), senses_of(other)
        assert all(others[n] is (s.reversed if reverse and s else s) for n, s in senses.items())
        assert [form.id for form in form_rollers(unit)] == [form.id for form in form_rollers(other)]
        for here, there in zip(rounds_of(unit), rounds_of(other), strict=True):
            assert [stop.nip for stop in here.stops] == [stop.nip for stop in there.stops]
            arcs = [stop.arc_mm for stop in there.stops]
            assert [stop.arc_mm for stop in here.stops] == pytest.approx(arcs, abs=1e-4)


@pytest.mark.parametrize("seed", SEEDS[::4])
def test_the_layout_found_is_the_nearest(seed):
    """No layout on the way from the one found to the known one is nearer to what was read (weights as documented)."""
    known = trains.random_unit(Random(seed))
    rough = trains.perturbed(trains.build_press(known), Random(seed), READING_MM).units[0]
    found = survey(trains.build_press(rough)).press.units[0]
    weight = {"blanket": 100.0, "impression": 100.0, "plate": 0.0}

    def cost(unit):
        total = 0.0
        for name in unit.member_ids:
            roller = None if name in weight else unit.roller(name)
            each = weight[name] if roller is None else (1.0 if roller.drive.kind.is_friction else 4.0)
            total += each * math.dist(centre_of(unit, name), centre_of(rough, name)) ** 2
        return total

    assert cost(found) <= cost(known)
    for part in (1e-3, 1e-2, 0.1):
        between = {
            name: tuple(a + part * (b - a) for a, b in zip(centre_of(found, name), centre_of(known, name), strict=True))
            for name in found.member_ids
        }
        nearby = survey(trains.build_press(with_centres(found, between))).press.units[0]
        assert cost(found) <= cost(nearby) + 1e-6


@pytest.mark.parametrize("seed", SEEDS[::3])
def test_a_roller_without_centre_is_placed_by_its_contacts(seed):
    known = trains.random_unit(Random(seed))
    name = next(r.id for r in known.rollers if r.role.value == "drum")
    blind = replace(known, rollers=tuple(replace(r, centre=None) if r.id == name else r for r in known.rollers))
    found = survey(trains.build_press(blind))
    slugs = {problem.slug for problem in found.problems if name in problem.path}
    assert slugs & {"placed-by-contacts", "placed-by-choice"}
    assert [move.roller for move in found.moves if move.placed_by_contacts] == [name]
    if not found.refusals:
        _assert_layout_holds(found.press)
    if slugs == {"placed-by-contacts"}:
        assert math.dist(centre_of(found.press.units[0], name), centre_of(known, name)) < 1.0


def test_refusals_are_all_of_severity_refused():
    press = trains.build_press(replace(trains.random_unit(Random(0)), contacts=()))
    found = survey(press)
    assert found.refusals
    assert all(problem.severity is Severity.REFUSED for problem in found.refusals)
