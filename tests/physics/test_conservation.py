"""No ink is made or lost: fed, printed and stored are summed independently. Every demo press, and trains at random."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from importlib import resources

import numpy as np
import pytest
from _pytest.mark.structures import ParameterSet

from filmsplit.formats.press_file import loads
from filmsplit.ink.transfer import WalkerFetsko
from filmsplit.messages import Refusal
from filmsplit.press import Unit
from filmsplit.press.words import ContactKind
from filmsplit.simulation.demand import FORMS_OFF, NO_SHEET, PRINTING, Demand, Running
from filmsplit.simulation.from_press import INK_FEED, ink_network, width_of
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.network import DuctorFeed, FountainFeed, Loop, LoopRole, Network, Swing
from filmsplit.simulation.state import clean_plate, empty
from filmsplit.simulation.train import NipKind, Train, compile_network
from physics.trains import at, coverage, nip, small_press

DOUBLE, SINGLE = 1e-11, 1e-5
"""Rounding of some 1e6 additions in each precision, as part of the ink fed (stated accuracy)."""

PRESSES = sorted(
    item.name for item in resources.files("filmsplit.library.presses").iterdir() if item.name.endswith(".yaml")
)


def demo_units() -> Iterator[ParameterSet]:
    for name in PRESSES:
        press = loads(
            (resources.files("filmsplit.library.presses") / name).read_text(encoding="utf-8"), name=name
        ).press
        for unit in press.units:
            yield pytest.param(unit, id=f"{press.id}-{unit.id}")


def gap_of(done: Marched) -> float:
    return abs(done.budget_gap_um_mm2) / abs(done.fed_um_mm2)


def train_of(unit: Unit, *, coarse: float = 6.0, dtype: str = "float64") -> Train:
    network = ink_network(unit)
    grid = grid_of(network.plate_mm, width_of(unit), round_mm=coarse / 2, across_mm=coarse)
    return compile_network(network, grid, dtype=dtype)


def demand_on(train: Train, unit: Unit, *, cover: float, running: Running = PRINTING) -> Demand:
    """Uniform coverage but for the gap."""
    cells = np.full((train.grid.rows, train.grid.columns), cover)
    cells[train.grid.rows - train.grid.cells(unit.cylinders.plate.gap_mm) :] = 0
    sweeps = {INK_FEED: 25.0} if isinstance(train.network.feeds[0], DuctorFeed) else {}
    return Demand(coverage=cells, films_um={INK_FEED: 30.0}, sweeps_mm=sweeps, running=running)


@pytest.mark.parametrize("unit", list(demo_units()))
@pytest.mark.parametrize("cover", [0.01, 1.0])
@pytest.mark.parametrize(("dtype", "part"), [("float64", DOUBLE), ("float32", SINGLE)])
def test_demo_presses_lose_no_ink(unit: Unit, cover: float, dtype: str, part: float) -> None:
    """100 revolutions, oscillators on, 1 % and solid, in either precision."""
    train = train_of(unit, dtype=dtype)
    done = march(train, demand_on(train, unit, cover=cover), state=empty(train), revolutions=100)
    assert done.printed_um_mm2 > 0
    assert done.stored_after_um_mm2 > 0
    assert done.state.films.dtype == dtype
    assert gap_of(done) <= part
    assert done.state.films.min() >= 0


@pytest.mark.parametrize("unit", list(demo_units()))
@pytest.mark.parametrize("mode", ["no sheet", "forms off", "one form off"])
def test_demo_presses_lose_no_ink_in_any_mode(unit: Unit, mode: str) -> None:
    """Without sheets, with the forms off, with the first form roller thrown off: 100 revolutions, solid."""
    train = train_of(unit)
    first = next(train.loops[nip.a].id for nip in train.nips if nip.kind is NipKind.FORM)
    modes = {"no sheet": NO_SHEET, "forms off": FORMS_OFF, "one form off": Running(thrown_off=frozenset({first}))}
    done = march(train, demand_on(train, unit, cover=1.0, running=modes[mode]), state=empty(train), revolutions=100)
    assert gap_of(done) <= DOUBLE
    assert (done.printed_um_mm2 > 0) == (mode == "one form off")
    assert (done.state.of(train, "plate").max() > 0) == (mode != "forms off")
    assert done.state.of(train, first).max() > 0  # it stays on its drum


@pytest.mark.parametrize("unit", list(demo_units()))
def test_demo_presses_lose_no_ink_under_a_law_on_the_sheet(unit: Unit) -> None:
    """Walker & Fetsko's transfer, 100 revolutions, solid, oscillators on; coarser, as NumPy marches it."""
    train = train_of(unit, coarse=16.0)
    law = WalkerFetsko(k=3, b=2, f=0.3, density=1.0)
    demand = replace(demand_on(train, unit, cover=1.0), transfer=law)
    done = march(train, demand, state=empty(train), revolutions=100)
    assert done.printed_um_mm2 > 0
    assert gap_of(done) <= DOUBLE


def random_train(seed: int) -> Network:
    """A tree of rollers with some loops closed, one or two form rollers, random oscillators, faces and contacts."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(3, 8))
    loops, nips = [], []
    for i in range(count):
        swing = (
            Swing(stroke_mm=float(rng.uniform(1, 9)), cycle_rev=float(rng.uniform(0.7, 3)))
            if rng.random() < 0.4
            else None
        )
        face = (float(rng.uniform(0, 4)), float(rng.uniform(20, 30))) if rng.random() < 0.4 else None
        loops.append(Loop(id=f"R{i}", length_mm=float(rng.uniform(25, 60)), swing=swing, face_mm=face))

    def spot(i: int) -> tuple[str, float]:
        return f"R{i}", float(rng.uniform(0, loops[i].length_mm))

    for i in range(1, count):
        nips.append(
            nip(
                spot(int(rng.integers(0, i))),
                spot(i),
                share=float(rng.uniform(0.4, 0.6)),
                contact=float(rng.uniform(0.5, 1)),
            )
        )
    if count > 4:
        nips.append(nip(spot(1), spot(count - 2)))
    forms = rng.choice(count, size=2, replace=False)
    nips += [nip(spot(int(form)), ("plate", 7.0 * place)) for place, form in enumerate(forms)]
    nips.append(nip(("plate", 40.0), ("blanket", 3.0)))
    loops += [
        Loop(id="plate", length_mm=80.0, role=LoopRole.PLATE),
        Loop(id="blanket", length_mm=80.0, role=LoopRole.BLANKET),
    ]
    feed = FountainFeed(id="feed", at=at(*spot(0)), speed_ratio=float(rng.uniform(0.01, 1.2)))
    return Network(
        id="random", plate_mm=80.0, loops=tuple(loops), nips=tuple(nips), feeds=(feed,), sheet=at("blanket", 30.0)
    )


@pytest.mark.parametrize("seed", range(12))
def test_random_trains_lose_no_ink(seed: int) -> None:
    network = random_train(seed)
    grid = grid_of(80.0, 30.0, round_mm=1.0, across_mm=1.5)
    train = compile_network(network, grid)
    demand = Demand(coverage=coverage(grid, gap=0.15, seed=seed), films_um={"feed": 12.0})
    done = march(train, demand, state=empty(train), revolutions=100)
    assert done.printed_um_mm2 > 0
    assert gap_of(done) <= DOUBLE
    assert done.state.films.min() >= -1e-15


def test_single_precision_loses_no_more_than_rounding() -> None:
    network = small_press()
    grid = grid_of(120, 40, round_mm=1.0, across_mm=1.0)
    train = compile_network(network, grid, dtype="float32")
    demand = Demand(coverage=coverage(grid, gap=0.2), films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    done = march(train, demand, state=empty(train), revolutions=100)
    assert done.state.films.dtype == np.float32
    assert gap_of(done) <= SINGLE


@pytest.mark.parametrize(
    "running", [NO_SHEET, FORMS_OFF, Running(thrown_off=frozenset({"F1"})), Running(thrown_off=frozenset({"F1", "F2"}))]
)
def test_budget_closes_in_every_mode(running: Running) -> None:
    """And what is parted gives nothing on: without sheets nothing is printed, with forms off the plate stays clean."""
    network = small_press()
    grid = grid_of(120, 40, round_mm=1.0, across_mm=2.0)
    train = compile_network(network, grid)
    cover = coverage(grid, gap=0.2)
    demand = Demand(coverage=cover, running=running, films_um={"feed": 30.0}, sweeps_mm={"feed": 20.0})
    done = march(train, demand, state=empty(train), revolutions=30)
    assert gap_of(done) <= DOUBLE
    if not running.sheets:
        assert done.printed_um_mm2 == 0
        assert done.state.of(train, "blanket").max() == 0
    if not running.forms or len(running.thrown_off) == 2:
        assert done.state.of(train, "plate").max() == 0
    assert done.state.of(train, "F1").max() > 0  # a form roller that is off the plate stays on its drum


def test_keys_and_sweep_changed_during_the_run() -> None:
    """The budget closes over every part, and the print follows."""
    network = small_press()
    grid = grid_of(120, 40, round_mm=1.0, across_mm=2.0)
    train = compile_network(network, grid)
    cover = coverage(grid, gap=0.2)
    state, printed = empty(train), []
    for film, sweep in ((30.0, 20.0), (45.0, 20.0), (45.0, 10.0)):
        demand = Demand(coverage=cover, films_um={"feed": film}, sweeps_mm={"feed": sweep})
        done = march(train, demand, state=state, revolutions=60)
        assert abs(done.budget_gap_um_mm2) <= DOUBLE * done.fed_um_mm2 + 1e-13 * done.stored_after_um_mm2
        state = done.state
        printed.append(done.printed[-2:].sum())
    assert printed[1] > printed[0]
    assert printed[2] < printed[1]


def test_sheet_smaller_than_the_plate_takes_only_what_it_covers() -> None:
    network = small_press(feed="fountain")
    grid = grid_of(120, 40, round_mm=1.0, across_mm=2.0)
    train = compile_network(network, grid)
    demand = Demand(coverage=coverage(grid), films_um={"feed": 30.0}, sheet_round_mm=(0, 60), sheet_across_mm=(10, 30))
    done = march(train, demand, state=empty(train), revolutions=40)
    assert gap_of(done) <= DOUBLE
    assert done.sheet_um[60:].max() == 0
    assert done.sheet_um[:, :5].max() == 0
    assert done.sheet_um[:60, 5:15].max() > 0
    assert done.printed[:, :5].max() == 0


def test_nonlinear_transfer_loses_no_ink() -> None:
    network = small_press(feed="fountain")
    grid = grid_of(120, 40, round_mm=1.0, across_mm=2.0)
    train = compile_network(network, grid)
    demand = Demand(
        coverage=coverage(grid), films_um={"feed": 30.0}, transfer=WalkerFetsko(k=3, b=2, f=0.3, density=1.1)
    )
    done = march(train, demand, state=empty(train), revolutions=100)
    assert done.printed_um_mm2 > 0
    assert gap_of(done) <= DOUBLE


def test_new_plate_starts_clean_and_rollers_keep_their_ink() -> None:
    network = small_press(feed="fountain")
    grid = grid_of(120, 40, round_mm=1.0, across_mm=2.0)
    train = compile_network(network, grid)
    done = march(train, Demand(coverage=coverage(grid), films_um={"feed": 30.0}), state=empty(train), revolutions=9)
    washed = clean_plate(train, done.state)
    assert washed.of(train, "plate").max() == washed.of(train, "blanket").max() == 0
    assert np.array_equal(washed.of(train, "F1"), done.state.of(train, "F1"))
    second = Demand(coverage=coverage(grid, seed=7), films_um={"feed": 30.0})
    after = march(train, second, state=washed, revolutions=9)
    assert gap_of(after) <= DOUBLE
    assert after.state.of(train, "plate")[np.roll(second.coverage == 0, -after.state.step, axis=0)].max() == 0


CORNER = """\
filmsplit: press 1
id: corner
name: Corner
invented: yes
face_mm: 300
units:
  - id: A
    cylinders:
      plate_turns: clockwise
      plate: {centre: {x_mm: 0, y_mm: 0}, body_diameter_mm: 160, gap_mm: 60, cover_mm: 0.0, packing_mm: 0.0}
      blanket: {centre: {x_mm: 0, y_mm: -160}, body_diameter_mm: 160, gap_mm: 60, cover_mm: 0.0, packing_mm: 0.0}
      impression: {centre: {x_mm: 160, y_mm: -160}, diameter_mm: 160}
    fountain:
      roller: IF
      zone_widths_mm: [30, 30, 30]
      first_zone_mm: 10
      keys: {kind: unnumbered, highest: 3}
      sweep: {kind: notched, highest: 12, mm_per_division: 4}
    rollers:
      - {id: IF, role: fountain, centre: {x_mm: 110, y_mm: 160}, diameter_mm: 60}
      - {id: D1, role: drum, centre: {x_mm: 50, y_mm: 160}, diameter_mm: 60, motion: {kind: turns}}
      - {id: F1, role: form, centre: {x_mm: 0, y_mm: 105}, diameter_mm: 50}
      - {id: F2, role: form, centre: {x_mm: 105, y_mm: 0}, diameter_mm: 50}
    contacts:
      - {a: F1, b: plate}
      - {a: F2, b: plate}
      - {a: D1, b: F1}
      - {a: IF, b: D1, kind: slips, speed_ratio: 0.02}
"""


def corner_unit() -> Unit:
    """Plate clockwise at the origin, first form roller above it, second to the right, the drum up and to the right."""
    from filmsplit.formats.press_file import describe  # noqa: PLC0415

    return describe(CORNER, name="corner.yaml").press.units[0]


def test_places_round_the_loops_follow_the_rotation() -> None:
    """By hand: the plate turns clockwise, so from above to the right is a quarter turn; the form roller above it turns
    anticlockwise, from below (-90 deg) to the drum up and right, atan2(55, 50) = 47.726 deg: 137.726 deg on; the
    blanket, anticlockwise, goes from above (90 deg) to the impression at its right (0 deg) in three quarters."""
    network = ink_network(corner_unit())
    places = {(p.loop, q.loop): p.at_mm for n in network.nips for p, q in ((n.a, n.b), (n.b, n.a))}
    assert places["plate", "F1"] == pytest.approx(0.0, abs=1e-9)
    assert places["plate", "F2"] == pytest.approx(np.pi * 160 / 4)
    assert places["plate", "blanket"] == pytest.approx(np.pi * 160 / 2)
    form = np.pi * 50
    assert (places["F1", "D1"] - places["F1", "plate"]) % form == pytest.approx(137.7263 / 360 * form, rel=1e-5)
    blanket = np.pi * 160
    assert network.sheet is not None
    assert (network.sheet.at_mm - places["blanket", "plate"]) % blanket == pytest.approx(0.75 * blanket)
    feed = network.feeds[0]
    assert isinstance(feed, FountainFeed)
    # the drum turns clockwise: from the form roller (down left, 180 + 47.726 deg) to the fountain (0 deg): 227.726 on
    drum = np.pi * 60
    assert (feed.at.at_mm - places["D1", "F1"]) % drum == pytest.approx(227.7263 / 360 * drum, rel=1e-5)
    assert feed.speed_ratio == 0.02
    assert feed.face_mm == (10.0, 100.0)


def test_unit_without_a_known_feed_is_refused() -> None:
    unit = corner_unit()
    with pytest.raises(Refusal) as caught:
        ink_network(replace(unit, fountain=None))
    assert [problem.slug for problem in caught.value.problems] == ["ink-no-fountain"]
    with pytest.raises(Refusal) as caught:
        ink_network(replace(unit, contacts=unit.contacts[:3]))
    assert [problem.slug for problem in caught.value.problems] == ["ink-feed-unknown"]
    stray = replace(unit.contacts[1], b="D1")  # every roller meets something, none of them the plate
    with pytest.raises(Refusal) as caught:
        ink_network(replace(unit, contacts=(stray, *unit.contacts[2:])))
    assert [problem.slug for problem in caught.value.problems] == ["ink-no-form-roller"]


def test_a_roller_whose_speed_nobody_told_is_refused() -> None:
    """Rolling on the fountain roller behind a ductor, it turns by itself: no speed is made up for it."""
    units = [parameters.values[0] for parameters in demo_units()]
    unit = next(
        each
        for each in units
        if isinstance(each, Unit) and {"DU", "IF", "F1"} <= {roller.id for roller in each.rollers}
    )
    extra = replace(unit.roller("DU"), id="X9", motion=unit.roller("F1").motion)
    contact = replace(unit.contacts[0], a="X9", b="IF", kind=ContactKind.ROLLS)
    with pytest.raises(Refusal) as refused:
        ink_network(replace(unit, rollers=(*unit.rollers, extra), contacts=(*unit.contacts, contact)))
    assert [problem.slug for problem in refused.value.problems] == ["ink-speed-unknown"]
