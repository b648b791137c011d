"""Spares: how many a group of interchangeable rollers needs on the shelf, from lead time and forecast."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from filmsplit.condition.forecast import Crossing

SERVICE = 0.95
"""Chance that the shelf lasts until an order arrives (invented default)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpareGroup:
    """Rollers of which one spare serves all, how many spares stand on the shelf or are on order, and the lead time."""

    rollers: tuple[str, ...]
    stock: int
    lead_days: int
    on_order: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SparePlan:
    """What a group needs.

    ``reorder_point``: with that many on the shelf the group gets through a lead time with ``SERVICE``. ``order``: how
    many to order now. ``order_by``: the day by which the next order has to leave, ``None`` beyond the forecast.
    ``without_forecast`` names rollers nobody can forecast; they are counted as not failing, so the plan is too small.
    """

    group: SpareGroup
    expected: float
    reorder_point: int
    order: int
    order_by: date | None
    without_forecast: tuple[str, ...]


def spare_plan(group: SpareGroup, crossings: Mapping[str, Crossing], *, today: date) -> SparePlan:
    """Demand until an order placed today would arrive, and the stock that covers it."""
    known = [crossings[name] for name in group.rollers if name in crossings]
    held = group.stock + group.on_order
    chances = _chances(known, today + timedelta(days=group.lead_days))
    point = enough_for(chances)
    return SparePlan(
        group=group,
        expected=float(sum(chances)),
        reorder_point=point,
        order=max(point - held, 0),
        order_by=_order_by(known, held=held, lead_days=group.lead_days, today=today),
        without_forecast=tuple(name for name in group.rollers if name not in crossings),
    )


def enough_for(chances: Sequence[float], service: float = SERVICE) -> int:
    """The smallest stock that is enough with that chance, for rollers that fail independently of each other."""
    covered = np.cumsum(demand(chances))
    return int(np.argmax(covered >= min(service, covered[-1])))


def demand(chances: Sequence[float]) -> np.ndarray:
    """Chance of 0, 1, 2 … failures (Poisson's binomial distribution, by multiplying out)."""
    shares = np.array([1.0])
    for chance in chances:
        shares = np.convolve(shares, [1.0 - chance, chance])
    return shares


def _chances(crossings: Sequence[Crossing], on: date) -> list[float]:
    return [crossing.chance_by(on) for crossing in crossings]


def _order_by(known: Sequence[Crossing], *, held: int, lead_days: int, today: date) -> date | None:
    """The last day on which an order still arrives before the shelf is likely to be short."""
    for weeks in range(12 * 52):
        day = today + timedelta(weeks=weeks)
        if enough_for(_chances(known, day + timedelta(days=lead_days))) > held:
            return day
    return None
