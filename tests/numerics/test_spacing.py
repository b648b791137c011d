"""Points with spacings to keep, against answers known in closed form."""

from __future__ import annotations

import math
from random import Random

import pytest

from filmsplit.numerics.circles import clearance, crossings
from filmsplit.numerics.spacing import Outcome, Spacing, settle
from filmsplit.numerics.symmetric import solve_symmetric


def between(i, j, bound, *, exact=True):
    return Spacing(((i, j, 1.0),), bound, exact)


def test_nothing_moves_where_everything_holds():
    given = [(0.0, 0.0), (3.0, 4.0)]
    found = settle(given, [1.0, 1.0], spacings=[between(0, 1, 5.0)])
    assert found.outcome is Outcome.EXACT
    assert found.places == tuple(given)


def test_one_point_goes_straight_to_its_circle():
    # Nearest point of a circle of radius 5 to (6, 8): on the same ray, (3, 4).
    found = settle([(0.0, 0.0), (6.0, 8.0)], [0.0, 1.0], spacings=[between(0, 1, 5.0)])
    assert found.outcome is Outcome.SETTLED
    assert found.places[0] == (0.0, 0.0)
    assert found.places[1] == pytest.approx((3.0, 4.0), abs=1e-9)


def test_two_points_share_the_way_by_their_mobility():
    # Least squares with weights 1/mobility: 10 -> 7 along the line, 3 to share as 2 : 1.
    found = settle([(0.0, 0.0), (10.0, 0.0)], [2.0, 1.0], spacings=[between(0, 1, 7.0)])
    assert found.places[0] == pytest.approx((2.0, 0.0), abs=1e-6)
    assert found.places[1] == pytest.approx((9.0, 0.0), abs=1e-6)


def test_two_circles_leave_their_crossing():
    # 3-4-5: distance 5 from (0, 0) and 5 from (6, 0), given above the line: (3, 4).
    given = [(0.0, 0.0), (6.0, 0.0), (3.4, 4.9)]
    found = settle(given, [0.0, 0.0, 1.0], spacings=[between(0, 2, 5.0), between(1, 2, 5.0)])
    assert found.places[2] == pytest.approx((3.0, 4.0), abs=1e-9)


def test_an_inequality_that_does_not_press_changes_nothing():
    spacings = [between(0, 1, 5.0), between(0, 2, 1.0, exact=False)]
    found = settle([(0.0, 0.0), (6.0, 8.0), (50.0, 0.0)], [0.0, 1.0, 1.0], spacings=spacings)
    assert found.places[1] == pytest.approx((3.0, 4.0), abs=1e-9)
    assert found.places[2] == (50.0, 0.0)


def test_an_inequality_that_presses_holds_exactly():
    found = settle([(0.0, 0.0), (0.6, 0.8)], [0.0, 1.0], spacings=[between(0, 1, 5.0, exact=False)])
    assert found.places[1] == pytest.approx((3.0, 4.0), abs=1e-9)


def test_far_moves_settle_on_the_nearest_place():
    """A chain of two rods of 10 from a fixed point, both ends given several mm out of reach.

    No closed form: the nearest ends are searched on the two angles, finely.
    """
    given = [(0.0, 0.0), (15.0, 3.0), (12.0, 16.0)]
    found = settle(given, [0.0, 1.0, 1.0], spacings=[between(0, 1, 10.0), between(1, 2, 10.0)])
    assert found.outcome is Outcome.SETTLED

    def cost(first, second):
        a = (10 * math.cos(first), 10 * math.sin(first))
        b = (a[0] + 10 * math.cos(second), a[1] + 10 * math.sin(second))
        return math.dist(a, given[1]) ** 2 + math.dist(b, given[2]) ** 2

    reached = math.dist(found.places[1], given[1]) ** 2 + math.dist(found.places[2], given[2]) ** 2
    grid = min(cost(0.002 * i, 0.002 * j) for i in range(400) for j in range(400, 900))
    assert reached <= grid + 1e-9
    assert reached == pytest.approx(grid, abs=1e-3)  # the grid is 0.002 rad: 0.02 mm, squared and times the bend


def test_spacings_that_contradict_each_other_are_left_open():
    # 2 from (0, 0) and 2 from (10, 0): the best is halfway, 3 short of each.
    given = [(0.0, 0.0), (10.0, 0.0), (4.0, 1.0)]
    found = settle(given, [0.0, 0.0, 1.0], spacings=[between(0, 2, 2.0), between(1, 2, 2.0)])
    assert found.outcome is Outcome.OPEN
    assert not found.holds
    assert max(found.misfits) == pytest.approx(3.0, abs=0.01)


def test_spacings_between_points_that_cannot_move_are_judged():
    found = settle([(0.0, 0.0), (4.0, 0.0)], [0.0, 0.0], spacings=[between(0, 1, 5.0)])
    assert found.outcome is Outcome.OPEN
    assert found.misfits == (1.0,)


def test_every_outcome_is_a_sentence_with_advice():
    assert all(outcome.value.endswith(".") and outcome.value.count(".") == 2 for outcome in Outcome)


def test_work_is_bounded():
    rng = Random(1)
    given = [(rng.uniform(0, 50), rng.uniform(0, 50)) for _ in range(40)]
    pairs = [(i, j) for i in range(40) for j in range(i)]
    spacings = [between(i, j, rng.uniform(1, 100), exact=False) for i, j in pairs]
    spacings += [between(*rng.sample(range(40), 2), rng.uniform(1, 100)) for _ in range(60)]
    found = settle(given, [1.0] * 40, spacings=spacings, effort=0.01)
    assert found.outcome is Outcome.OPEN


@pytest.mark.parametrize("size", [1, 2, 7, 20])
def test_symmetric_systems_against_their_own_product(size):
    rng = Random(size)
    rows = [[rng.gauss(0, 1) if rng.random() < 0.5 else 0.0 for _ in range(size)] for _ in range(size)]
    matrix = [[sum(a * b for a, b in zip(p, q, strict=True)) + (p is q) for q in rows] for p in rows]
    wanted = [rng.uniform(-1, 1) for _ in range(size)]
    right = [sum(a * x for a, x in zip(row, wanted, strict=True)) for row in matrix]
    assert solve_symmetric([row[:] for row in matrix], right) == pytest.approx(wanted, rel=1e-9)


def test_a_dependent_unknown_is_zero():
    assert solve_symmetric([[1.0, 1.0], [1.0, 1.0]], [2.0, 2.0]) == [2.0, 0.0]


def test_crossings():
    # 3-4-5 twice; the left one looking along +x is the upper one.
    left, right = crossings((0.0, 0.0), 5.0, second=(6.0, 0.0), second_radius=5.0)
    assert left == pytest.approx((3.0, 4.0))
    assert right == pytest.approx((3.0, -4.0))
    assert crossings((0.0, 0.0), 1.0, second=(3.0, 0.0), second_radius=1.0) is None
    assert crossings((0.0, 0.0), 5.0, second=(1.0, 0.0), second_radius=1.0) is None
    assert crossings((0.0, 0.0), 1.0, second=(0.0, 0.0), second_radius=1.0) is None


def test_clearance():
    assert clearance((0.0, 0.0), 1.0, others=[((5.0, 0.0), 1.0), ((0.0, 3.0), 2.5)]) == pytest.approx(-0.5)
    assert clearance((0.0, 0.0), 1.0, others=[]) == math.inf
