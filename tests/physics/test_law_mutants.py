"""What the train and what is asked of it are cut into, broken once on purpose: random trains must part from the naive
one, or the mean films from those marched to rest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from filmsplit.ink.feed import Supply
from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import WalkerFetsko
from filmsplit.simulation import demand, numpy_march, runs, train, work
from filmsplit.simulation.blocks import Blocks
from filmsplit.simulation.demand import Demand, load
from filmsplit.simulation.exchange import Overlap, form_badly, roll_badly
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.march import march
from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.mean_laws import MeanLaws
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import CellDuctor, CellSwing, NipKind, Train
from physics.marching import at_rest, train_of
from physics.random_trains import FEEDS, MODES, asked, grid_for, open_nips, random_train, train_and_demand
from physics.trains import chain
from physics.twins import agree, twins


def check_random_trains() -> None:
    """A train of each feed in each way of running that prints, against the naive train."""
    for number, mode in enumerate(MODES):
        if mode in ("no sheet", "forms off"):
            continue
        for feed in FEEDS:
            network = random_train(number, feed=feed, divides=False)
            cut, plain = train_and_demand(network, seed=number)
            what = asked(plain, cut, mode)
            pair = twins(network, grid_for(network), what, revolutions=4, open_nips=open_nips(network, what))
            agree(*pair, prints=False)


def check_parted() -> None:
    """Without sheets nothing is printed and the blanket stays clean; with the forms off the plate does (definition)."""
    cut, plain = train_and_demand(random_train(1), seed=1)
    for mode in ("no sheet", "forms off"):
        done = march(cut, asked(plain, cut, mode), state=empty(cut), revolutions=4, native=False)
        assert done.printed.sum() == 0
        assert done.state.of(cut, "blanket").max() == 0
        assert (done.state.of(cut, "plate").max() == 0) == (mode == "forms off")


def check_mean_films() -> None:
    """Without oscillators, coverage constant round the plate, the mean films are exact (algebra)."""
    net = chain(3, share=0.45, ratio=0.3)
    net = replace(net, nips=(replace(net.nips[0], contact=0.6), *net.nips[1:]))
    cut = train_of(net, rows=60, columns=3)
    cover = np.tile([0.1, 0.4, 0.9], (60, 1))
    what = Demand(coverage=cover, films_um={"feed": np.array([10.0, 5.0, 2.0])}, sheet_across_mm=(0.0, 3.0))
    mean = MeanTrain(cut, load(cut, what)).state().films
    assert mean == pytest.approx(at_rest(cut, what).films, rel=1e-8)


def wrongly(law: Callable[..., None]) -> Callable[..., None]:
    """``law`` with its exchange share taken twice."""
    return lambda *films, contact, **given: law(*films, contact=contact * contact, **given)


def never_parted(train: Train, nip: train.CellNip, *, running: object) -> bool:  # noqa: ARG001
    return False


def without_thrown_off(train: Train, nip: train.CellNip, *, running: demand.Running) -> bool:
    return demand.is_open(train, nip, running=replace(running, thrown_off=frozenset()))


def together_without_sheets(train: Train, nip: train.CellNip, *, running: demand.Running) -> bool:
    return nip.kind is not NipKind.TRANSFER and demand.is_open(train, nip, running=running)


def later(self: CellDuctor, cycle: int) -> tuple[int, int]:
    first = self.sweep_at(cycle) + 1
    return first, first + self.dwell_train


def moved(self: CellSwing, steps: Array, *, stroke: float = 1.0, phase: float = 1.0, cycle: float = 1.0) -> Array:
    turn = 2 * np.pi * (steps + 0.5) / (cycle * self.cycle)
    return np.asarray(stroke * self.half_stroke * np.sin(turn + phase * self.phase))


def wider(self: Grid, span_mm: tuple[float, float] | None) -> tuple[int, int]:
    first, end = WITHIN(self, span_mm)
    return first, min(end + 1, self.columns)


def next_column(self: runs.Sideways, *given: Any, contact: Array, **named: Any) -> Array:
    return CONTACT(self, *given, contact=np.roll(contact, 1), **named)


WITHIN, CONTACT = Grid.columns_within, runs.Sideways._contact
LEAD = Train.blanket_lead.fget  # type: ignore[attr-defined]

MUTANTS: dict[str, tuple[Any, str, Any, Callable[[], None]]] = {
    "edge of the sheet ignored": (demand, "_takes", lambda *_: None, check_random_trains),
    "sheet lies a cell further": (
        demand,
        "taking",
        lambda cut, what, law=demand.taking: np.roll(law(cut, what), 1, axis=0),
        check_random_trains,
    ),
    "thrown off form roller stays on": (work, "is_open", without_thrown_off, check_random_trains),
    "nothing parts": (work, "is_open", never_parted, check_parted),
    "blanket stays on the plate without sheets": (work, "is_open", together_without_sheets, check_parted),
    "exchange share taken twice": (numpy_march, "roll_badly", wrongly(roll_badly), check_random_trains),
    "exchange share taken twice on the plate": (numpy_march, "form_badly", wrongly(form_badly), check_random_trains),
    "exchange share of the next column": (runs.Sideways, "_contact", next_column, check_random_trains),
    "sweep not counted on": (work, "round", lambda _: 0, check_random_trains),
    "train dwell at once": (CellDuctor, "train_dwell", later, check_random_trains),
    "ductor without phase": (
        CellDuctor,
        "begin",
        lambda self, cycle: int(cycle * self.cycle + 0.5),
        check_random_trains,
    ),
    "phase of an oscillator the other way": (
        CellSwing,
        "at",
        lambda self, steps: moved(self, steps, phase=-1),
        check_random_trains,
    ),
    "whole stroke to each side": (
        CellSwing,
        "at",
        lambda self, steps: moved(self, steps, stroke=2),
        check_random_trains,
    ),
    "oscillator twice as slow": (CellSwing, "at", lambda self, steps: moved(self, steps, cycle=2), check_random_trains),
    "overlaps changed about": (runs, "Overlap", lambda a, b, area: Overlap(a, b, 1 - area), check_random_trains),
    "slip shared the wrong way round": (
        train,
        "volume_share",
        lambda ratio: 1 / (1 + ratio**1.65),
        check_random_trains,
    ),
    "faces a column too wide": (Grid, "columns_within", wider, check_random_trains),
    "blanket leads instead of follows": (
        Train,
        "blanket_lead",
        property(lambda self: -LEAD(self)),
        check_random_trains,
    ),
    "film of the fountain not slowed": (
        train,
        "fountain_supply",
        lambda ratio: Supply(1.0, 1 / (1 + ratio**1.65)),
        check_random_trains,
    ),
    "law on the sheet by volume": (
        WalkerFetsko,
        "taken_um",
        lambda self, um, law=WalkerFetsko.taken_um: self.density * law(self, um),
        check_random_trains,
    ),
    "mean films miss a share": (
        MeanLaws,
        "of",
        lambda self, stop, law=MeanLaws.of: tuple(1.01 * part for part in law(self, stop)),
        check_mean_films,
    ),
    "mean films miss the coverage": (MeanLaws, "cover", property(lambda _: np.ones(3)), check_mean_films),
    "mean films touch perfectly": (
        MeanLaws,
        "_meeting",
        lambda self, nip: self.across.present([self.train.loops[nip.a], self.train.loops[nip.b]]),
        check_mean_films,
    ),
    "mean films of the neighbour": (
        Blocks,
        "means",
        lambda self, columns, law=Blocks.means: np.roll(law(self, columns), 1, axis=-1),
        check_mean_films,
    ),
}


@pytest.mark.parametrize("check", [check_random_trains, check_parted, check_mean_films])
def test_nothing_is_broken_to_begin_with(check: Callable[[], None]) -> None:
    check()


@pytest.mark.parametrize("name", MUTANTS)
def test_every_broken_law_is_noticed(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    place, attribute, law, check = MUTANTS[name]
    monkeypatch.setattr(place, attribute, law, raising=attribute != "round")
    with pytest.raises((AssertionError, ValueError)):
        check()
