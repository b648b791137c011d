"""Wash or run out: what each way of a colour change costs, and the answer in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations
from math import log

from filmsplit.ink.colour import Lab, share_within
from filmsplit.messages import Problem
from filmsplit.setup.colour_change import Changed, Mixture

MOST_ORDERED = 6
"""So many inks are put in every order; more are ordered by lightness alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Washing:
    """What a wash takes, and the part of the old ink it leaves on the rollers."""

    minutes: float
    litres: float
    left: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """The shop's own figures, all in one currency."""

    per_sheet: float
    per_hour: float
    per_litre: float
    sheets_per_hour: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of the change: sheets to waste, minutes of the press, litres of wash, and what they cost together."""

    sheets: int
    minutes: float
    litres: float
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Both ways; ``None`` where one does not end within the sheets marched. ``answer`` says which, with the numbers."""

    run_out: Way | None
    wash: Way | None
    answer: Problem


def weigh(changed: Changed, *, difference: float, washing: Washing, prices: Prices) -> Weighed:
    """Wash or run out, by cost. ``difference`` is the CIEDE2000 that the share of the change came from, for the words.

    Plate and blanket are washed and the fountain is emptied either way; neither is counted.
    """
    run_out = _way(changed.run_out, minutes=0.0, litres=0.0, prices=prices)
    wash = _way(changed.washed, minutes=washing.minutes, litres=washing.litres, prices=prices)
    return Weighed(run_out=run_out, wash=wash, answer=_answer(changed, run_out, wash, difference=difference))


def _way(mixture: Mixture, *, minutes: float, litres: float, prices: Prices) -> Way | None:
    if mixture.good_from is None:
        return None
    sheets = mixture.good_from - 1
    turns = sheets + mixture.charge_revolutions
    minutes += 60.0 * turns / prices.sheets_per_hour
    cost = sheets * prices.per_sheet + minutes / 60.0 * prices.per_hour + litres * prices.per_litre
    return Way(sheets=sheets, minutes=minutes, litres=litres, cost=cost)


def _answer(changed: Changed, run_out: Way | None, wash: Way | None, *, difference: float) -> Problem:
    values: dict[str, object] = {"difference": difference, "marched": changed.run_out.worst.size}
    values |= {f"run_out_{name}": number for name, number in _numbers(run_out)}
    values |= {f"wash_{name}": number for name, number in _numbers(wash)}
    if run_out is None:
        return Problem("setup-change-must-wash" if wash is not None else "setup-change-unclear", values)
    if wash is None:
        return Problem("setup-change-must-run-out", values)
    return Problem("setup-change-wash" if wash.cost < run_out.cost else "setup-change-run-out", values)


def _numbers(way: Way | None) -> Iterator[tuple[str, object]]:
    if way is not None:
        yield from (("sheets", way.sheets), ("minutes", round(way.minutes)))
        yield from (("litres", round(way.litres, 2)), ("cost", round(way.cost, 2)))


@dataclass(frozen=True, slots=True, kw_only=True)
class PassInk:
    """The ink of one pass: what it is called, and the colour of its solid."""

    name: str
    lab: Lab


@dataclass(frozen=True, slots=True, kw_only=True)
class InkOrder:
    """The order in which inks are best run on one unit.

    ``response_times`` says how many of the unit's response times all the changes take if each is run out: the old ink's
    share falls to about 1/e in each, so a change takes the logarithm of one over the share allowed.
    """

    names: tuple[str, ...]
    response_times: float
    asked_response_times: float
    notes: tuple[Problem, ...]


def order_of_inks(inks: Sequence[PassInk], *, paper: Lab, difference: float) -> InkOrder:
    """The order that is soonest clean, and a remark where it is not the one asked for.

    Light before dark is common practice; the order here comes from the colours themselves, and mostly agrees. The
    first ink is free, for nothing is said of the job before.
    """
    times = {
        (old, new): -log(max(share_within(inks[new].lab, inks[old].lab, paper=paper, difference=difference), 1e-6))
        for old, new in permutations(range(len(inks)), 2)
    }

    def taken(order: tuple[int, ...]) -> float:
        return sum(times[pair] for pair in pairwise(order))

    asked = tuple(range(len(inks)))
    light_first = tuple(sorted(asked, key=lambda number: -inks[number].lab[0]))
    orders = permutations(asked) if len(inks) <= MOST_ORDERED else iter((asked, light_first))
    # of orders equally good the one that keeps light before dark
    best = min(orders, key=lambda order: (round(taken(order), 6), order != light_first))
    names = tuple(inks[number].name for number in best)
    notes = tuple(_order_note(names, asked=taken(asked), best=taken(best)))
    return InkOrder(names=names, response_times=taken(best), asked_response_times=taken(asked), notes=notes)


def _order_note(names: tuple[str, ...], *, asked: float, best: float) -> Iterator[Problem]:
    if best < asked - 1e-6:
        yield Problem("setup-ink-order", {"order": ", ".join(names), "times": best, "asked_times": asked})
