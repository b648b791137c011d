"""Whatever is written, as long as it is a press: the survey answers, in bounded time, and says what is wrong."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import pytest

import trains
from filmsplit.messages import Problem
from filmsplit.press import Unit
from filmsplit.press.survey import MOST_ROLLERS, Survey, survey
from filmsplit.press.words import ContactKind, MotionKind, Role, SlipDirection, System, TurnSense


def wild_unit(rng: Random, rollers: int, contacts: int) -> Unit:
    """Rollers and contacts thrown together: on top of each other, far away, unplaced, with names that do not exist."""
    ids = [f"R{n}" for n in range(rollers)]
    names = [*ids, "plate", "blanket", "impression"]
    return Unit(
        id="A",
        name="",
        cylinders=trains.build_cylinders(turns=rng.choice(tuple(TurnSense))),
        fountain=trains.build_fountain(rng.choice([*names, "nobody"])) if rng.random() < 0.5 else None,
        rollers=tuple(wild_roller(rng, id) for id in ids),
        contacts=tuple(
            trains.build_contact(
                rng.choice([*names, "nobody"]),
                rng.choice(names),
                rng.choice(tuple(ContactKind)),
                slip_direction=rng.choice(tuple(SlipDirection)),
            )
            for _ in range(contacts)
        ),
    )


def wild_roller(rng: Random, id: str):
    places = [(0.0, 0.0), (5000.0, -5000.0), *[(rng.uniform(-300, 300), rng.uniform(-300, 300)) for _ in range(4)]]
    return trains.build_roller(
        id,
        rng.choice((5.0, 40.0, 60.0, 1000.0, rng.uniform(5.0, 200.0))),
        role=rng.choice(tuple(Role)),
        system=rng.choice(tuple(System)),
        motion=trains.build_motion(rng.choice(tuple(MotionKind)), swing_mm=rng.choice((0.0, 6.0, 100.0))),
        centre=None if rng.random() < 0.2 else trains.point(rng.choice(places)),
    )


def assert_whole(found: Survey) -> None:
    assert all(isinstance(problem, Problem) and problem.what and problem.remedy for problem in found.problems)
    for unit in found.press.units:
        for name in unit.member_ids:
            centre = unit.member(name).centre
            assert centre is not None
            assert math.isfinite(centre.x_mm)
            assert math.isfinite(centre.y_mm)


@pytest.mark.parametrize("seed", range(80))
def test_wild_units(seed):
    rng = Random(seed)
    unit = wild_unit(rng, rng.randint(1, 9), rng.randint(0, 14))
    assert_whole(survey(trains.build_press(unit)))


def test_a_unit_without_rollers():
    assert_whole(survey(trains.build_press(wild_unit(Random(0), 0, 0))))


def test_all_centres_unknown():
    unit = trains.random_unit(Random(5))
    blind = replace(unit, rollers=tuple(replace(roller, centre=None) for roller in unit.rollers))
    found = survey(trains.build_press(blind))
    assert_whole(found)
    assert {move.roller for move in found.moves if move.placed_by_contacts} == {r.id for r in unit.rollers}


def test_more_rollers_than_any_train_are_refused_unexamined():
    unit = wild_unit(Random(0), MOST_ROLLERS + 1, 10)
    assert [problem.slug for problem in survey(trains.build_press(unit)).problems] == ["too-many-rollers"]
