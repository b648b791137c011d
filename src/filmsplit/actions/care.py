"""Are the rollers of a press fit: verdicts, forecasts, what is due, what to order. Reads records, writes nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from filmsplit.actions.care_histories import ShopHistory, drawing_of, shop_history
from filmsplit.actions.find import find_press
from filmsplit.actions.register import Daybook, looking, meant
from filmsplit.condition.costs import (
    USUAL_STOP,
    Budget,
    RecoverTiming,
    ShopRates,
    budget,
    cost_of_stop,
    when_to_recover,
)
from filmsplit.condition.due import DueTask, due_board
from filmsplit.condition.forecast import Ageing, Crossing, ageing, crossing
from filmsplit.condition.limits import CareTable
from filmsplit.condition.lives import hardness_lives
from filmsplit.condition.orders import Duty, Order, order_for
from filmsplit.condition.readings import RollerHistory
from filmsplit.condition.trend import Trend, fit_trend
from filmsplit.condition.trend_terms import HARDNESS_HABITS
from filmsplit.condition.verdict import RollerVerdict, judge
from filmsplit.condition.words import Measure
from filmsplit.library.cover_rules import cover_rules
from filmsplit.library.roller_limits import care_table
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press
from filmsplit.press.words import Role
from filmsplit.records.positions import Position
from filmsplit.setup.cover_checks import Bearing

RATES = ShopRates()


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """When a cover crosses ``limit``: a day is ``None`` beyond the forecast. ``rise`` is that of today by the trend.

    ``chance`` is that of crossing before the day asked for, ``timing`` when a re-cover costs least.
    """

    began: date
    began_known: bool
    limit_shore_a: float
    low: date | None
    median: date | None
    high: date | None
    coverage: float
    readings: int
    rise_shore_a: float
    sigma_shore_a: float
    chance: float
    timing: RecoverTiming


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerCare:
    """One roller: where it is, the verdict, and where it is soft and was read, its forecast."""

    mark: str
    position: Position | None
    verdict: RollerVerdict
    forecast: Forecast | None

    @property
    def chance(self) -> float:
        return 0.0 if self.forecast is None else self.forecast.chance


@dataclass(frozen=True, slots=True, kw_only=True)
class PressCare:
    """All rollers of a press, the gravest verdict first. ``settled`` is false where the trend did not come to rest."""

    press: str
    today: date
    until: date
    rollers: tuple[RollerCare, ...]
    budget: Budget | None
    settled: bool


def look_after(reference: str, *, book: Daybook, until: date | None = None, limits: Path | None = None) -> PressCare:
    """Judge and forecast every roller that the register has on a press. ``until``: a year from now unless told."""
    press = find_press(reference).press
    table, shop = care_table(limits), _shop(book)
    mine = _rollers(shop, press)
    end = until or date.fromordinal(book.day.toordinal() + 365)
    trend = _trend(shop.rollers)
    crossings = {} if trend is None else _crossings(trend, shop.rollers, table=table, today=book.day)
    own = {each.id: crossings[each.id] for each in mine if each.id in crossings}
    told = {mark: _told(found, until=end, price=shop.facts[mark].price) for mark, found in own.items()}
    rollers = [
        RollerCare(
            mark=each.id,
            position=shop.positions.get(each.id),
            verdict=judge(each, table),
            forecast=told.get(each.id),
        )
        for each in mine
    ]
    return PressCare(
        press=press.id,
        today=book.day,
        until=end,
        rollers=tuple(sorted(rollers, key=lambda each: (-each.verdict.verdict.rank, -each.chance, each.mark))),
        budget=_budget(shop, tuple(own.values()), until=end) if own else None,
        settled=trend is None or trend.settled,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OneCare:
    """One roller, wherever it is, and the course of its hardness where it was read."""

    care: RollerCare
    ageing: Ageing | None


def care_of(marks: Sequence[str], *, book: Daybook, limits: Path | None = None) -> Mapping[str, OneCare]:
    """Verdict and forecast of some rollers by mark. A retired one is judged no more, and left out."""
    table, shop = care_table(limits), _shop(book)
    trend = _trend(shop.rollers)
    crossings = {} if trend is None else _crossings(trend, shop.rollers, table=table, today=book.day)
    found = {}
    for each in (each for each in shop.rollers if each.id in set(marks)):
        own = crossings.get(each.id)
        course = None if own is None or trend is None else ageing(trend, own.roller, until=_reach(own, book.day))
        told = None if own is None else _told(own, until=book.day, price=shop.facts[each.id].price)
        care = RollerCare(mark=each.id, position=shop.positions.get(each.id), verdict=judge(each, table), forecast=told)
        found[each.id] = OneCare(care=care, ageing=course)
    return found


def _reach(found: Crossing, today: date) -> date:
    """As far as a picture of the forecast reaches: past its interval where that ends, else two years on."""
    ends = [day for day in (found.low, found.median, found.high) if day is not None]
    return max([*ends, today + timedelta(days=365 * (2 if found.high is None else 0))])


def due(reference: str, *, book: Daybook, limits: Path | None = None) -> tuple[DueTask, ...]:
    """What is due on a press, the most overdue first."""
    press = find_press(reference).press
    table, shop = care_table(limits), _shop(book)
    _rollers(shop, press)
    return due_board(shop.log(press.id), table, today=book.day)


def order(text: str, *, duty: Duty, book: Daybook) -> Order:
    """The order for a roller meant by mark, code or place."""
    with looking(book) as connection:
        roller = meant(connection, text, day=book.day)
    role = next((role for role in Role if role.value == roller.facts.role), None)
    unfit = {(rule.material, rule.against.value) for rule in cover_rules() if rule.bearing is Bearing.UNFIT}
    return order_for(roller.mark, role=role, drawing=drawing_of(roller.facts), duty=duty, unfit=unfit)


def crossings_of(shop: ShopHistory, *, table: CareTable, today: date) -> Mapping[str, Crossing]:
    """When each soft roller of the shop crosses its limit, by mark; those nobody can forecast are left out."""
    trend = _trend(shop.rollers)
    return {} if trend is None else _crossings(trend, shop.rollers, table=table, today=today)


def _shop(book: Daybook) -> ShopHistory:
    with looking(book) as connection:
        return shop_history(connection, book.day)


def _rollers(shop: ShopHistory, press: Press) -> tuple[RollerHistory, ...]:
    found = shop.of_press(press.id)
    if not found:
        raise Refusal(Problem("care-no-rollers", {"press": press.id}))
    return found


def _trend(rollers: Sequence[RollerHistory]) -> Trend | None:
    """One trend through the hardness of every soft roller of the shop; ``None`` where none was ever read."""
    lives = hardness_lives([each for each in rollers if each.is_soft])
    return fit_trend(lives, HARDNESS_HABITS) if any(life.points for life in lives) else None


def _crossings(
    trend: Trend, rollers: Sequence[RollerHistory], *, table: CareTable, today: date
) -> Mapping[str, Crossing]:
    """Forecasts of covers whose life has a known beginning. A cover without one cannot be said to have an age."""
    known = {life.roller for life in trend.lives}
    found = {}
    for each in rollers:
        row = table.limit(Measure.HARDNESS_RISE, role=each.role, press=each.press, roller=each.id)
        if row is not None and each.id in known:
            found[each.id] = crossing(trend, each.id, limit=row.act, today=today)
    return found


def _told(found: Crossing, *, until: date, price: float | None) -> Forecast:
    stop = cost_of_stop(USUAL_STOP, RATES)
    planned = (RATES.recover if price is None else price) + stop
    return Forecast(
        began=found.began,
        began_known=found.began_known,
        limit_shore_a=found.limit,
        low=found.low,
        median=found.median,
        high=found.high,
        coverage=found.coverage,
        readings=found.readings,
        rise_shore_a=found.now.value,
        sigma_shore_a=found.now.sigma,
        chance=found.chance_by(until),
        timing=when_to_recover(found, today=found.now.on, planned=planned, unplanned=stop + RATES.express),
    )


def _budget(shop: ShopHistory, crossings: Sequence[Crossing], *, until: date) -> Budget:
    facts = {each.roller: shop.facts[each.roller] for each in crossings}
    return budget(
        crossings,
        until=until,
        prices={mark: each.price for mark, each in facts.items() if each.price is not None},
        lead_days={mark: each.lead_time_days for mark, each in facts.items() if each.lead_time_days is not None},
        rates=RATES,
    )
