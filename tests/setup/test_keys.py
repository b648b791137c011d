"""The fit of the keys against conditions worked out here, not against its own word."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from filmsplit.press.words import BladeKind
from filmsplit.setup.keys import KeyAsk, KeyPlan, Reason, films_per_opening, fit_keys
from filmsplit.setup.limits import KeyLimits, limits_on

DIVIDED = limits_on(BladeKind.DIVIDED)


def _kernel(zones: int, reach: float) -> np.ndarray:
    """Ink carried sideways: each key feeds its zone most and others less the farther they are."""
    apart = np.abs(np.subtract.outer(np.arange(zones), np.arange(zones)))
    return np.asarray(np.exp(-((apart / reach) ** 2)))


def _ask(weights: list[float], *, reach: float, gain: float, limits: KeyLimits) -> KeyAsk:
    area = np.array(weights)
    kernel = _kernel(area.size, reach)
    taken = np.maximum(kernel @ area, 1e-9)
    return KeyAsk(
        response=gain * kernel / taken[:, None],
        aim_um=np.ones(area.size),
        weights=area,
        full_um=np.full(area.size, 50.0),
        limits=limits,
    )


def _breach(ask: KeyAsk, plan: KeyPlan) -> float:
    """Optimality by itself: no small movement of the keys that the limits allow makes the print better.

    The best feasible direction is a linear programme over steps of at most 1: slope times step, least over the limits
    that are met within 1e-6.
    """
    open = np.flatnonzero(ask.weights > 0)
    print_per_opening = (ask.response @ films_per_opening(ask.full_um, coupling=ask.limits.coupling))[
        np.ix_(open, open)
    ]
    x, weight = plan.openings[open], ask.weights[open] / ask.weights.sum()
    slope = print_per_opening.T @ (weight * (print_per_opening @ x - ask.aim_um[open]) / ask.aim_um[open] ** 2)
    rows, unit = [], np.eye(open.size)
    for i in range(open.size):
        if x[i] <= ask.limits.lowest + 1e-6:
            rows.append(-unit[i])
        if x[i] >= ask.limits.highest - 1e-6:
            rows.append(unit[i])
    for i in np.flatnonzero(np.diff(open) == 1):
        apart = x[i + 1] - x[i]
        if ask.limits.step is not None and abs(apart) >= ask.limits.step - 1e-6:
            rows.append(np.sign(apart) * (unit[i + 1] - unit[i]))
    kept = {"A_ub": np.array(rows), "b_ub": np.zeros(len(rows))} if rows else {}
    return float(-linprog(slope, bounds=(-1, 1), **kept).fun)


tints = st.floats(0.02, 0.9) | st.just(0.0)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(tints, min_size=2, max_size=24), st.floats(0.3, 1.5), st.floats(0.005, 0.2), st.booleans())
def test_no_movement_within_the_limits_prints_better(
    weights: list[float], reach: float, gain: float, divided: bool
) -> None:
    """The keeping to mid-range may give way by its own size: 1e-6 of the distance."""
    ask = _ask(weights, reach=reach, gain=gain, limits=DIVIDED if divided else KeyLimits())
    plan = fit_keys(ask)
    if any(weights):
        assert _breach(ask, plan) < 3e-6
    assert plan.residual < 1e-8


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(tints, min_size=2, max_size=24), st.floats(0.3, 1.5), st.floats(0.005, 0.2))
def test_limits_are_kept(weights: list[float], reach: float, gain: float) -> None:
    limits = KeyLimits()
    plan = fit_keys(_ask(weights, reach=reach, gain=gain, limits=limits))
    for key, weight in zip(plan.zones, weights, strict=True):
        assert key.opening == 0 if weight == 0 else limits.lowest - 1e-9 <= key.opening <= limits.highest + 1e-9
    for a, b in zip(plan.zones, plan.zones[1:], strict=False):
        if a.opening > 0 and b.opening > 0:
            assert limits.step is not None
            assert abs(a.opening - b.opening) <= limits.step + 1e-9


def test_without_ink_sideways_each_key_is_its_own_division() -> None:
    """Opening = aim / (response x full film): arithmetic."""
    ask = KeyAsk(
        response=np.diag([0.04, 0.05]), aim_um=np.array([1.0, 1.0]), weights=np.ones(2), full_um=np.array([50.0, 40.0]),
        limits=DIVIDED,
    )  # fmt: skip
    plan = fit_keys(ask)
    np.testing.assert_allclose(plan.openings, [1 / (0.04 * 50), 1 / (0.05 * 40)], rtol=1e-5)
    assert [key.reason for key in plan.zones] == [None, None]


@pytest.mark.parametrize(
    ("response", "reason"), [(0.4, Reason.LOWEST), (0.015, Reason.HIGHEST)], ids=["too much", "too little"]
)
def test_what_stops_a_key_is_named(response: float, reason: Reason) -> None:
    ask = KeyAsk(
        response=np.diag([response, 0.04]), aim_um=np.ones(2), weights=np.ones(2), full_um=np.full(2, 50.0),
        limits=DIVIDED,
    )  # fmt: skip
    plan = fit_keys(ask)
    assert [key.reason for key in plan.zones] == [reason, None]
    assert plan.zones[0].off == pytest.approx(response * 50 * (0.1 if reason is Reason.LOWEST else 0.85) - 1)


def test_a_blade_in_one_piece_is_not_bent_beyond_its_step() -> None:
    limits = KeyLimits(step=0.1, coupling=0.0)
    ask = KeyAsk(
        response=np.diag([0.1, 0.025]), aim_um=np.ones(2), weights=np.ones(2), full_um=np.full(2, 50.0), limits=limits
    )
    plan = fit_keys(ask)
    assert plan.openings[1] - plan.openings[0] == pytest.approx(0.1)
    assert [key.reason for key in plan.zones] == [Reason.BLADE, Reason.BLADE]


def test_ink_from_a_neighbour_is_not_put_down_to_the_own_key() -> None:
    """The second zone gets half of its neighbour's ink, and the first key stands at its end."""
    response = np.array([[0.02, 0.0], [0.03, 0.02]])
    limits = KeyLimits(step=None, coupling=0.0)
    ask = KeyAsk(response=response, aim_um=np.ones(2), weights=np.ones(2), full_um=np.full(2, 50.0), limits=limits)
    plan = fit_keys(ask)
    assert {key.reason for key in plan.zones} <= {Reason.NEIGHBOURS, Reason.LOWEST}
    assert Reason.NEIGHBOURS in {key.reason for key in plan.zones}


def test_nothing_printed_nothing_open() -> None:
    plan = fit_keys(_ask([0.0, 0.0], reach=1.0, gain=0.1, limits=KeyLimits()))
    assert not plan.openings.any()
    assert plan.mean_open == 0


def test_limits_that_no_key_can_keep_are_refused() -> None:
    with pytest.raises(ValueError, match="limits"):
        KeyLimits(lowest=0.9, highest=0.5)


def test_the_blade_shares_but_loses_nothing() -> None:
    """All keys alike make an even film, whatever the coupling: each row of parts sums to one."""
    for coupling in (0.0, 0.08, 0.3):
        np.testing.assert_allclose(films_per_opening(np.ones(9), coupling=coupling).sum(axis=1), 1.0)
