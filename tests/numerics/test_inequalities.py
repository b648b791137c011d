"""Least squares under inequalities, against a solver of another kind and against conditions worked out here."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import lsq_linear, minimize

from filmsplit.numerics.inequalities import breach, least_squares_within


def _case(seed: int, unknowns: int) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    return rng.normal(size=(unknowns + 5, unknowns)), rng.normal(size=unknowns + 5)


@pytest.mark.parametrize("seed", range(8))
def test_within_bounds_it_agrees_with_a_bounded_solver(seed: int) -> None:
    """scipy's trust-region reflective solver knows bounds only, and works in another way."""
    matrix, target = _case(seed, 6)
    rows, least = np.vstack([np.eye(6), -np.eye(6)]), np.array([-0.1] * 6 + [-0.2] * 6)
    found = least_squares_within(matrix, target, rows=rows, least=least)
    other = lsq_linear(matrix, target, bounds=(-0.1, 0.2), tol=1e-14)
    assert found is not None
    np.testing.assert_allclose(found.x, other.x, atol=1e-6)
    assert found.residual < 1e-12


@pytest.mark.parametrize("seed", range(8))
def test_with_steps_it_is_no_worse_than_a_general_solver(seed: int) -> None:
    matrix, target = _case(seed, 5)
    apart = np.diff(np.eye(5), axis=0)
    rows, least = np.vstack([np.eye(5), -np.eye(5), apart, -apart]), np.array([0.0] * 5 + [-1.0] * 5 + [-0.1] * 8)
    found = least_squares_within(matrix, target, rows=rows, least=least)
    assert found is not None
    assert np.all(rows @ found.x >= least - 1e-12)

    def cost(x: np.ndarray) -> float:
        return float(np.sum((matrix @ x - target) ** 2))

    held = {"type": "ineq", "fun": lambda x: rows @ x - least}
    other = minimize(cost, np.full(5, 0.5), constraints=held, method="SLSQP", options={"ftol": 1e-12})
    assert other.success
    assert cost(found.x) <= cost(other.x) + 1e-9


def test_inequalities_that_exclude_each_other_have_no_answer() -> None:
    assert least_squares_within(np.eye(1), np.ones(1), rows=np.array([[1.0], [-1.0]]), least=np.ones(2)) is None


def test_inequalities_that_do_not_hold_leave_the_plain_answer() -> None:
    found = least_squares_within(2 * np.eye(2), np.array([2.0, 4.0]), rows=np.eye(2), least=np.zeros(2))
    assert found is not None
    np.testing.assert_allclose(found.x, [1.0, 2.0])
    assert not found.multipliers.any()


def test_a_wrong_answer_is_told_by_its_residual() -> None:
    matrix, target = np.eye(2), np.array([1.0, 1.0])
    wrong = breach(np.array([0.5, 1.0]), np.zeros(2), matrix=matrix, target=target, rows=np.eye(2), least=np.zeros(2))
    assert wrong == pytest.approx(0.5)
