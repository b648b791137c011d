"""Hard cases for the settled solve: none may look settled that is not. Prints a table for docs/performance.md.

Every success is judged against a solve a thousand times tighter that was given ten times the periods, and where that
does not settle, against a long march. Run from the project's folder: ``python tests/campaigns/hard_cases.py [seeds]``.
Ends with 1 if anything looked settled and was not.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from filmsplit.ink.transfer import FixedShare, WalkerFetsko
from filmsplit.simulation.demand import FORMS_OFF, NO_SHEET, Demand, Running
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.network import Network
from filmsplit.simulation.period import with_common_period
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Outcome, Solution
from filmsplit.simulation.state import State, empty
from filmsplit.simulation.train import Train, compile_network
from physics.trains import coverage, small_press

SEEDS = 6
TIGHTER = 1e-6


@dataclass(frozen=True, slots=True)
class Case:
    """One question, and how many periods it may take."""

    kind: str
    network: Network
    demand: Callable[[Train], Demand]
    most: int = 60
    columns: int = 20


def main() -> int:
    """The table; 1 where something looked settled and was not."""
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else SEEDS
    told: dict[str, Counter[str]] = {}
    wrong = []
    for seed in range(seeds):
        for case in _cases(seed):
            outcome, error, stated = _judged(case)
            told.setdefault(case.kind, Counter())[outcome.name] += 1
            if outcome is Outcome.SETTLED and not error <= max(ACCURACY, stated):
                wrong.append((case.kind, seed, error, stated))
    print("| case | settled | not settled | no settled state | not finite | out of range |\n|---|---|---|---|---|---|")
    names = ("SETTLED", "NOT_SETTLED", "NO_SETTLED_STATE", "INPUT_NOT_FINITE", "OUT_OF_RANGE")
    for kind, counts in told.items():
        print(f"| {kind} | " + " | ".join(str(counts[name]) for name in names) + " |")
    print(f"\n{len(wrong)} looked settled and were not: {wrong}")
    return int(bool(wrong))


def _cases(seed: int) -> Iterator[Case]:
    rng = np.random.default_rng(seed)

    def asked(mean: float, **more: object) -> Callable[[Train], Demand]:
        def demand(train: Train) -> Demand:
            cells = coverage(train.grid, gap=0.2, mean=mean, seed=seed)
            return Demand(coverage=cells, films_um={"feed": 30.0}, **({"sweeps_mm": {"feed": 20.0}} | more))

        return demand

    press = small_press(cycle_rev=2.0)
    some = float(rng.choice([0.02, 0.3, 1.0]))
    for most in (1, 2, 3):
        yield Case("very few periods", press, asked(some), most=most)
    yield Case("hardly any image", press, asked(1e-4), most=20)
    yield Case("near-endless train", _shares(press, 0.998), asked(0.01), most=8)
    for share in (0.02, 0.98):
        yield Case("extreme shares", _shares(press, share), asked(some), most=20)
    yield Case("tiny contact", _contacts(press, 10.0 ** rng.uniform(-6, -2)), asked(some), most=20)
    yield Case("huge strokes", _strokes(press, float(rng.uniform(30, 80))), asked(some), most=20)
    yield Case("single column", press, asked(some), columns=1)
    yield Case("sheet smaller than the image", press, asked(some, sheet_across_mm=(12, 26), sheet_round_mm=(10, 60)))
    yield Case("form roller thrown off", press, asked(some, running=Running(thrown_off=frozenset({"F1"}))))
    yield Case("all forms off, or no sheet", press, asked(some, running=FORMS_OFF if seed % 2 else NO_SHEET), most=20)
    yield Case("no number", press, _broken(asked(some), seed))
    yield Case("law of transfer", small_press(feed="fountain"), _law(asked(some, sweeps_mm={}), seed), most=30)
    yield Case("next to no transfer", press, asked(some, transfer=FixedShare(tau=1e-4)), most=20)
    yield Case("cycles that do not divide", _swings(press, float(rng.uniform(1.3, 3.7))), asked(some), most=20)


def _shares(network: Network, share: float) -> Network:
    rollers = {loop.id for loop in network.loops} - {"plate", "blanket"}
    return replace(
        network,
        nips=tuple(replace(n, share=share) if {n.a.loop, n.b.loop} <= rollers else n for n in network.nips),
    )


def _contacts(network: Network, contact: float) -> Network:
    first, *others = network.nips
    return replace(network, nips=(first, *(replace(n, contact=contact) if i == 1 else n for i, n in enumerate(others))))


def _strokes(network: Network, stroke_mm: float) -> Network:
    return replace(
        network,
        loops=tuple(replace(x, swing=replace(x.swing, stroke_mm=stroke_mm)) if x.swing else x for x in network.loops),
    )


def _swings(network: Network, cycle_rev: float) -> Network:
    return replace(
        network,
        loops=tuple(replace(x, swing=replace(x.swing, cycle_rev=cycle_rev)) if x.swing else x for x in network.loops),
    )


def _broken(asked: Callable[[Train], Demand], seed: int) -> Callable[[Train], Demand]:
    def demand(train: Train) -> Demand:
        good = asked(train)
        bad = (np.nan, np.inf)[seed % 2]
        cells = good.coverage.copy()
        cells[3, 3] = bad
        return (
            replace(good, coverage=cells),
            replace(good, films_um={"feed": bad}),
            replace(good, sweeps_mm={"feed": bad}),
        )[seed % 3]

    return demand


def _law(asked: Callable[[Train], Demand], seed: int) -> Callable[[Train], Demand]:
    rng = np.random.default_rng(seed)
    law = WalkerFetsko(k=rng.uniform(0.2, 5), b=rng.uniform(0.2, 4), f=rng.uniform(0.1, 0.6), density=1.0)
    return lambda train: replace(asked(train), transfer=law)


def _judged(case: Case) -> tuple[Outcome, float, float]:
    """The outcome, the true error where it was called settled, and the error stated."""
    network, _ = with_common_period(case.network)
    train = compile_network(network, grid_of(120, 40, round_mm=3.0, across_mm=40 / case.columns))
    demand = case.demand(train)
    solution = settle(train, demand, most_periods=case.most)
    if not solution.ok:
        return solution.outcome, float("nan"), solution.statistics.error
    return solution.outcome, _true_error(train, demand, solution), solution.statistics.error


def _true_error(train: Train, demand: Demand, solution: Solution) -> float:
    tight = settle(train, demand, accuracy=TIGHTER, most_periods=600)
    state = tight.state if tight.ok else _marched(train, demand)
    turns = solution.statistics.common_period
    ours, theirs = (
        march(train, demand, state=s, revolutions=turns, watch=True).passing for s in (solution.state, state)
    )
    image = (demand.coverage > 0) & (theirs.sheet_um > 0)
    if not image.any():
        return 0.0
    return float(np.abs(ours.sheet_um - theirs.sheet_um)[image].max() / theirs.sheet_um[image].mean())


def _marched(train: Train, demand: Demand) -> State:
    return replace(march(train, demand, state=empty(train), revolutions=24_000).state, step=0)


if __name__ == "__main__":
    sys.exit(main())
