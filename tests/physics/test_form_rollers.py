"""Several form rollers: what each gives, by algebra of the even split; solid all round, no gap, marched to rest."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from filmsplit.ink.splitting import Array
from filmsplit.simulation.answers import answers_of
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.march import Marched
from filmsplit.simulation.network import FountainFeed, Loop, Network
from filmsplit.simulation.train import Train
from physics.marching import passing, settled
from physics.trains import at, cylinders, nip

EXACT = 1e-9
FED = 10.0


def forms(order: tuple[int, ...], *, drums: int = 1) -> Network:
    """Drums with form rollers in the order each drum meets them; the plate meets F1, F2, ... in turn.

    The first drum meets the feed first; a bridge takes ink from the end of its round to the second drum.
    """
    loops = [Loop(id=f"F{i}", length_mm=16.0) for i in range(1, len(order) + 1)]
    loops += [Loop(id=f"D{drum + 1}", length_mm=30.0) for drum in range(drums)]
    nips = [nip((f"F{i}", 8.0), ("plate", 9.0 * (i - 1))) for i in range(1, len(order) + 1)]
    per = len(order) // drums
    for place, form in enumerate(order):
        nips.append(nip((f"D{place // per + 1}", 6.0 * (place % per + 1)), (f"F{form}", 0.0)))
    if drums == 2:
        loops.append(Loop(id="B", length_mm=14.0))
        nips += [nip(("D1", 24.0), ("B", 0.0)), nip(("B", 7.0), ("D2", 0.0))]
    nips.append(nip(("plate", 50.0), ("blanket", 0.0)))
    return Network(
        id="forms",
        plate_mm=80.0,
        loops=(*loops, *cylinders(80.0)),
        nips=tuple(nips),
        feeds=(FountainFeed(id="feed", at=at("D1", 0.0), speed_ratio=1.0),),
        sheet=at("blanket", 40.0),
    )


def shares(train: Train, done: Marched, count: int) -> Array:
    """Share of each form roller, from the films before and after it."""
    given = np.array(
        [np.subtract(*(films[0] for films in passing(train, done, f"F{i + 1}/plate"))) for i in range(count)]
    )
    return np.asarray(given / given.sum())


def answered(train: Train, done: Marched) -> list[float | None]:
    """The same as the answers tell it."""
    demand = Demand(coverage=np.ones((train.grid.rows, train.grid.columns)), films_um={"feed": FED})
    told = answers_of(train, demand, marched=done).form_shares
    return [told[id] for id in sorted(told)]


def plate_films(train: Train, done: Marched, count: int) -> list[float]:
    """What the plate brings to the first form roller and carries away from each."""
    ways = [passing(train, done, f"F{i + 1}/plate") for i in range(count)]
    return [ways[0][0][1], *(leaving[1] for _, leaving in ways)]


def feed_total(train: Train, done: Marched, last: str) -> float:
    """Both films at the feed's nip: the fountain's, and what the drum brings there from its last nip."""
    return float(FED + passing(train, done, last)[1][0])


@pytest.mark.parametrize(
    ("order", "expected", "films", "total"),
    [((1, 2), (3 / 4, 1 / 4), (2, 11 / 4, 3), 17 / 2), ((2, 1), (1 / 2, 1 / 2), (2, 5 / 2, 3), 8)],
)
def test_two_form_rollers_on_one_drum(
    order: tuple[int, int], expected: tuple[float, float], films: tuple[float, float, float], total: float
) -> None:
    """The drum meets the feed and then F1, or F2, first (algebra)."""
    train, done = settled(forms(order), rows=80, film=FED)
    q = done.sheet_means_um[0]
    assert shares(train, done, 2) == pytest.approx(expected, rel=EXACT)
    assert answered(train, done) == pytest.approx(expected, rel=EXACT)
    assert np.array(plate_films(train, done, 2)) / q == pytest.approx(films, rel=EXACT)
    assert feed_total(train, done, f"D1/F{order[1]}") / q == pytest.approx(total, rel=EXACT)


def test_four_form_rollers_on_two_drums() -> None:
    """17/24, 17/72, 1/24, 1/72, and the plate takes them up in turn (algebra)."""
    train, done = settled(forms((1, 2, 3, 4), drums=2), rows=80, film=FED)
    expected = [17 / 24, 17 / 72, 1 / 24, 1 / 72]
    assert shares(train, done, 4) == pytest.approx(expected, rel=1e-8)
    assert answered(train, done) == pytest.approx(expected, rel=1e-8)
    films = np.array(plate_films(train, done, 4)) / done.sheet_means_um[0]
    assert films == pytest.approx(2 + np.cumsum([0, *expected]), rel=1e-8)


@pytest.mark.parametrize(
    ("count", "percent"),
    [(1, (100.0,)), (2, (60.0, 40.0)), (3, (47.4, 31.6, 21.1)), (4, (41.5, 27.7, 18.5, 12.3))],
)
def test_form_rollers_each_fed_by_the_same_film(count: int, percent: tuple[float, ...]) -> None:
    """One uniform supply film for each: shares to the decimal printed, each 2/3 of the one before (algebra)."""
    base = forms(tuple(range(1, count + 1)))
    net = replace(
        base,
        loops=tuple(loop for loop in base.loops if loop.id != "D1"),
        nips=tuple(each for each in base.nips if each.a.loop != "D1"),
        feeds=tuple(FountainFeed(id=f"S{i}", at=at(f"F{i}", 0.0), speed_ratio=1.0) for i in range(1, count + 1)),
    )
    train, done = settled(net, rows=80, film=FED)
    found = shares(train, done, count)
    assert 100 * found == pytest.approx(percent, abs=0.05)
    assert [after / before for before, after in pairwise(found)] == pytest.approx([2 / 3] * (count - 1), rel=EXACT)
