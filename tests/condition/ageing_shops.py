"""Invented shops whose covers harden: histories as they would be written down, and when each cover truly crosses.

Nothing here is shared with the forecaster: covers harden along a curve, a change of wash adds a step and makes what
comes after age faster, readers come and go with a bias of their own, warmth acts along a curve, errors have long tails.
``HABITS`` are the ways a shop can be; none of the numbers is taken from the forecaster's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from filmsplit.condition.readings import Event, HardnessReading, RollerDrawing, RollerHistory
from filmsplit.condition.words import EventKind
from filmsplit.press.words import Material, Role

LIMIT = 10.0
FIRST = date(2020, 1, 6)
YEAR = 365.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """How a shop's covers age and how they are read. Rates in Shore A a year, sizes in Shore A."""

    rate: float = 3.2
    rate_spread: float = 0.3
    """Of the logarithm of each cover's rate."""
    compound_spread: float = 0.25
    bow: float = math.inf
    """Rise at which hardening would end; a straight line where it is infinite."""
    wash: bool = False
    wash_step: float = 1.0
    wash_step_spread: float = 0.5
    wash_faster: float = 1.3
    readers: int = 1
    reader_bias: float = 1.5
    swing_k: float = 1.0
    per_k: float = -0.15
    per_k2: float = 0.0
    temperature_told: float = 1.0
    tails: float = math.inf
    """Degrees of freedom of the errors; normal where infinite."""
    noise: float = 0.6
    blunders: float = 0.0
    whole_points: bool = False
    months: float = 2.0
    rollers: int = 12


HABITS = {
    "straight lines": Habits(),
    "curves": Habits(bow=28.0),
    "steps after a wash change": Habits(wash=True),
    "reader swaps": Habits(readers=3, reader_bias=2.0),
    "temperature swings": Habits(swing_k=7.0, per_k=-0.2, per_k2=0.004, temperature_told=0.8),
    "long tails and blunders": Habits(tails=3.0, blunders=0.03, whole_points=True),
    "few readings": Habits(months=5.0, rollers=6),
    "twice as fast": Habits(rate=6.4, rate_spread=0.4),
    "half as fast": Habits(rate=1.6, rate_spread=0.4),
    "all at once": Habits(
        bow=28.0,
        wash=True,
        readers=3,
        swing_k=7.0,
        per_k=-0.2,
        per_k2=0.004,
        temperature_told=0.8,
        tails=3.0,
        blunders=0.03,
        whole_points=True,
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What made one cover's readings, and the day its rise reaches the limit."""

    start: float
    rate: float
    step: float
    began: date
    crosses: float
    """Days after ``began``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """What was written down up to ``today``, and what is true."""

    habits: Habits
    today: date
    washed_anew: date | None
    rates: dict[Material, float]
    biases: dict[str, float]
    histories: tuple[RollerHistory, ...]
    truths: dict[str, Truth]


def shop(habits: Habits, seed: int) -> Shop:
    """One shop drawn by its seed, seen on a day after three to five years of records."""
    rng = np.random.default_rng(seed)
    today = FIRST + timedelta(days=int(rng.uniform(3.0, 5.0) * YEAR))
    washed = FIRST + timedelta(days=int(rng.uniform(0.35, 0.85) * (today - FIRST).days)) if habits.wash else None
    compounds = (Material.NITRILE, Material.PVC_NITRILE)
    rates = {each: habits.rate * math.exp(rng.normal(0, habits.compound_spread)) for each in compounds}
    biases = {f"reader {n}": float(rng.normal(0, habits.reader_bias)) for n in range(habits.readers)}
    made = Shop(habits=habits, today=today, washed_anew=washed, rates=rates, biases=biases, histories=(), truths={})
    rollers = [_roller(made, f"R{n}", compounds[n % 2], rng=rng) for n in range(habits.rollers)]
    return replace(
        made,
        histories=tuple(history for history, _ in rollers),
        truths={history.id: truth for history, truth in rollers},
    )


def _roller(shop: Shop, name: str, compound: Material, *, rng: np.random.Generator) -> tuple[RollerHistory, Truth]:
    """A roller that is re-covered now and then, whatever was read on it."""
    ordered = float(rng.choice([23.0, 26.0, 30.0]))
    readings: list[HardnessReading] = []
    events: list[Event] = []
    began = FIRST + timedelta(days=int(rng.uniform(0, 400)))
    while True:
        ended = began + timedelta(days=int(rng.uniform(2.0, 4.0) * YEAR))
        truth = _cover(shop, compound, began=began, ordered=ordered, rng=rng)
        events.append(Event(on=began, kind=EventKind.RECOVERED))
        until = min(ended, shop.today)
        readings += _readings(shop, truth, until=until, rng=rng)
        # Nobody forecasts a cover in its first four months.
        if ended > shop.today - timedelta(days=120):
            break
        began = ended
    if shop.washed_anew is not None:
        events.append(Event(on=shop.washed_anew, kind=EventKind.WASH_CHANGED))
    drawing = RollerDrawing(hardness_shore_a=ordered, compound=compound)
    history = RollerHistory(
        id=name, role=Role.FORM, press="invented", drawing=drawing, hardness=tuple(readings), events=tuple(events)
    )
    return history, truth


def _cover(shop: Shop, compound: Material, *, began: date, ordered: float, rng: np.random.Generator) -> Truth:
    habits = shop.habits
    rate = shop.rates[compound] * math.exp(rng.normal(0, habits.rate_spread))
    step = float(rng.normal(habits.wash_step, habits.wash_step_spread))
    days = np.arange(0, int(60 * YEAR))
    rises = rise(days, rate, step, shop=shop, began=began)
    over = np.flatnonzero(rises >= LIMIT)
    crosses = float(over[0]) if over.size else math.inf
    return Truth(start=float(rng.normal(ordered, 2.0)), rate=rate, step=step, began=began, crosses=crosses)


def rise(days: np.ndarray, rate: float, step: float, *, shop: Shop, began: date) -> np.ndarray:
    """True rise of a cover so many days after it began. Arrays are taken as numpy takes them."""
    ages = days / YEAR
    added = 0.0
    if shop.washed_anew is not None and shop.washed_anew > began:
        change = (shop.washed_anew - began).days / YEAR
        later = np.maximum(ages - change, 0.0)
        ages = ages + (shop.habits.wash_faster - 1) * later
        added = np.where(days / YEAR >= change, step, 0.0)
    straight = rate * ages
    if math.isfinite(shop.habits.bow):
        straight = shop.habits.bow * (1 - np.exp(-straight / shop.habits.bow))
    return straight + added


def _readings(shop: Shop, truth: Truth, *, until: date, rng: np.random.Generator) -> list[HardnessReading]:
    found = []
    day = truth.began + timedelta(days=int(rng.integers(1, 10)))
    while day <= until:
        found.append(_reading(shop, truth, day=day, rng=rng))
        day += timedelta(days=int(shop.habits.months * rng.uniform(18, 42)))
    return found


def _reading(shop: Shop, truth: Truth, *, day: date, rng: np.random.Generator) -> HardnessReading:
    habits = shop.habits
    warm = habits.swing_k * math.sin(2 * math.pi * (day - FIRST).days / YEAR) + rng.normal(0, 1.0)
    age = np.array([(day - truth.began).days])
    true = truth.start + float(rise(age, truth.rate, truth.step, shop=shop, began=truth.began)[0])
    true += warmth(warm, habits)
    # One reader hands over to the next, with a few rounds in between read by either.
    years = (day - FIRST).days / YEAR + rng.normal(0, 0.2)
    reader = list(shop.biases)[int(np.clip(years / 1.6, 0, habits.readers - 1))]
    error = rng.normal() if math.isinf(habits.tails) else rng.standard_t(habits.tails)
    off = habits.noise * error + (rng.choice([-6.0, 6.0]) if rng.random() < habits.blunders else 0.0)
    values = true + shop.biases[reader] + off + rng.normal(0, 1.2, 5)
    told = 23.0 + round(warm, 1) if rng.random() < habits.temperature_told else None
    return HardnessReading(
        on=day,
        values_shore_a=tuple(float(np.round(value, 0 if habits.whole_points else 1)) for value in values),
        temperature_c=told,
        instrument="durometer",
        reader=reader,
    )


def warmth(off_k: float, habits: Habits) -> float:
    """What warmth adds to a reading."""
    return habits.per_k * off_k + habits.per_k2 * off_k**2
