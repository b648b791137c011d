"""How the old ink leaves, against budgets, exact sums and a train that carries mixtures cell by cell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.ink.transfer import WalkerFetsko
from filmsplit.library.colour_change import colour_change_figures
from filmsplit.library.inks import inks
from filmsplit.setup.colour_change import Change, Changed, change_of
from filmsplit.setup.wash_or_run_out import PassInk, Prices, Washing, order_of_inks, weigh
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.settle import settle
from filmsplit.simulation.state import State, clean_plate, stored_um_mm2
from filmsplit.simulation.train import compile_network
from physics.trains import chain
from setup.conftest import EVEN, Bench, FloatArray

KEYS = np.full(8, 10.0)
PAPER = colour_change_figures().paper


@pytest.fixture(scope="module")
def change(dipper: Bench) -> Change:
    """A job with even fifths, then a job with other coverage; tenths of old ink may remain."""
    before = dipper.zoned([0.2] * 8)
    old = settle(before.train, before.keyed(KEYS), throw=True)
    assert old.state is not None
    return Change(zoned=dipper.zoned(EVEN), films_um=KEYS, state=old.state, share=0.05)


@pytest.fixture(scope="module")
def changed(change: Change) -> Changed:
    return change_of(change)


def test_both_inks_together_are_the_ink_that_is_there(change: Change, changed: Changed) -> None:
    """A march that knows no colours prints the sum (superposition: the laws are linear)."""
    sheets = changed.run_out.worst.size
    done = march(change.zoned.train, change.demand, state=change.start, revolutions=sheets)
    together = np.array([change.zoned.films_of(sheet) for sheet in done.printed])
    assert changed.run_out.old_um + changed.run_out.new_um == pytest.approx(together, rel=1e-9)


def test_no_old_ink_is_lost(change: Change, changed: Changed) -> None:
    """What was on the rollers is on the sheets, back in the fountain, or still there (by a march of its own)."""
    train, cover = change.zoned.train, change.zoned.demand.coverage
    start = stored_um_mm2(train, clean_plate(train, change.state), cover)
    printed = float((changed.run_out.old_um * change.zoned.image_mm2).sum())
    done = march(train, change.nothing_fed, state=change.start, revolutions=changed.run_out.worst.size)
    assert changed.returned_um_mm2 > 0
    assert printed + changed.returned_um_mm2 + done.stored_after_um_mm2 == pytest.approx(start, rel=1e-9)


def test_the_old_ink_leaves_steadily(change: Change, changed: Changed) -> None:
    """All of the first sheet is old ink; good sheets begin where the share is reached, and stay good."""
    worst = changed.run_out.worst
    assert worst[0] > 0.95
    assert changed.run_out.good_from is not None
    assert np.all(worst[changed.run_out.good_from - 1 :] <= change.share)
    assert changed.washed.good_from is not None
    assert changed.washed.worst[0] < change.share < worst[changed.run_out.good_from - 10]


def test_a_stricter_eye_takes_longer_by_the_slowest_factor(change: Change, changed: Changed) -> None:
    """The share ends by falling e-fold in a fixed number of sheets: a half, and a quarter, take equally many more."""
    strict = [change_of(replace(change, share=change.share / part)).run_out.good_from for part in (1, 2, 4)]
    assert strict[0] == changed.run_out.good_from
    first, second, third = (each for each in strict if each is not None)
    assert third - second == pytest.approx(second - first, abs=3)


def flux_fed(cover: float) -> tuple[ZonedTrain, FloatArray]:
    train = compile_network(chain(3, feed="flux"), grid_of(60, 1, round_mm=1.0, across_mm=1.0))
    demand = Demand(coverage=np.full((60, 1), cover))
    return ZonedTrain(train=train, demand=demand, zones=((0, 1),)), np.array([0.5])


@pytest.mark.parametrize("cover", [1.0, 0.25])
def test_shares_of_a_flux_fed_train_sum_to_ink_stored_over_printed(cover: float) -> None:
    """Nothing goes back: old ink on the rollers leaves on the sheets alone. With the same plate and keys, so that a
    sheet always carries the settled film, the shares sum to what the rollers hold over what a sheet takes (exact)."""
    zoned, keys = flux_fed(cover)
    settled = settle(zoned.train, zoned.keyed(keys), accuracy=1e-9, throw=True)
    assert settled.state is not None
    assert settled.answers is not None
    found = change_of(Change(zoned=zoned, films_um=keys, state=settled.state, share=1e-9), accuracy=1e-9)
    stored = stored_um_mm2(zoned.train, clean_plate(zoned.train, settled.state), zoned.demand.coverage)
    assert found.returned_um_mm2 == 0
    old = float(found.run_out.old_um.sum()) / settled.answers.sheet_mean_um
    assert old == pytest.approx(stored / settled.answers.printed_per_revolution_um_mm2, rel=1e-6)


def test_mixtures_carried_cell_by_cell_give_the_same_shares() -> None:
    """A chain in plain Python whose cells hold a film and the old part of it, mixed in each nip by hand."""
    zoned, keys = flux_fed(1.0)
    settled = settle(zoned.train, zoned.keyed(keys), accuracy=1e-9, throw=True)
    assert settled.state is not None
    found = change_of(Change(zoned=zoned, films_um=keys, state=settled.state, share=1e-3), accuracy=1e-9)
    sheets = 12
    by_hand = _mixed_by_hand(zoned, settled.state, feed_um=float(keys[0]), sheets=sheets)
    assert found.run_out.worst[:sheets] == pytest.approx(by_hand, abs=1e-9)


def _mixed_by_hand(zoned: ZonedTrain, state: State, *, feed_um: float, sheets: int) -> list[float]:
    """Share of old ink on each sheet. Cells are listed by the place they stand at; nips as in ``chain``."""
    films = {loop.id: state.of(zoned.train, loop.id)[:, 0] for loop in zoned.train.loops}
    cells = {id: [(float(loop[-place]), 1.0) for place in range(loop.size)] for id, loop in films.items()}
    cells |= {id: [(0.0, 0.0)] * 60 for id in ("plate", "blanket")}
    nips = [("R1", 10, "R2", 0), ("R2", 10, "R3", 0), ("R3", 10, "plate", 0), ("plate", 30, "blanket", 0)]
    shares = []
    for _ in range(sheets):
        film = old = 0.0
        for _ in range(60):
            amount, part = cells["R1"][0]
            cells["R1"][0] = (amount + feed_um, amount * part / (amount + feed_um))
            for a, at_a, b, at_b in nips:
                (film_a, part_a), (film_b, part_b) = cells[a][at_a], cells[b][at_b]
                total = film_a + film_b
                mixed = (film_a * part_a + film_b * part_b) / total if total > 0 else 0.0
                cells[a][at_a] = cells[b][at_b] = (total / 2, mixed)
            amount, part = cells["blanket"][30]
            cells["blanket"][30] = (amount / 2, part)
            film, old = film + amount / 2, old + amount / 2 * part
            cells = {id: [loop[-1], *loop[:-1]] for id, loop in cells.items()}
        shares.append(old / film if film > 0 else 0.0)
    return shares


def test_what_cannot_be_answered_is_refused(change: Change, dipper: Bench) -> None:
    law = replace(change.zoned.demand, transfer=WalkerFetsko(k=3, b=2, f=0.3))
    with pytest.raises(ValueError, match="apart"):
        change_of(replace(change, zoned=replace(change.zoned, demand=law)))
    with pytest.raises(ValueError, match="without image"):
        change_of(replace(change, zoned=dipper.zoned([0.0] * 8)))


WASHING = Washing(minutes=15.0, litres=0.4, left=0.01, source="invented")


@pytest.mark.parametrize(
    ("per_sheet", "per_hour", "slug"), [(10.0, 60.0, "setup-change-wash"), (0.01, 60.0, "setup-change-run-out")]
)
def test_dear_sheets_are_washed_for_and_cheap_ones_run(
    changed: Changed, per_sheet: float, per_hour: float, slug: str
) -> None:
    """Costs by hand: sheets x price + minutes of the press + litres."""
    prices = Prices(per_sheet=per_sheet, per_hour=per_hour, per_litre=8.0, sheets_per_hour=5000, source="invented")
    found = weigh(changed, difference=1.0, washing=WASHING, prices=prices)
    assert found.answer.slug == slug
    assert found.wash is not None
    assert found.run_out is not None
    turns = found.wash.sheets + changed.washed.charge_revolutions
    by_hand = found.wash.sheets * per_sheet + (15 / 60 + turns / 5000) * per_hour + 0.4 * 8
    assert found.wash.cost == pytest.approx(by_hand)
    assert f"{found.run_out.sheets} sheets" in found.answer.what
    assert f"{found.wash.sheets} sheets" in found.answer.what


def test_an_ink_that_does_not_go_is_washed(change: Change) -> None:
    """A share of a millionth within a hundred sheets is not to be had, washed or not; a wash of all is enough."""
    prices = colour_change_figures().prices
    strict = replace(change, share=1e-6, most_sheets=100)
    dirty = weigh(change_of(strict), difference=1.0, washing=WASHING, prices=prices)
    assert dirty.answer.slug == "setup-change-unclear"
    clean = weigh(change_of(replace(strict, left=0.0)), difference=1.0, washing=WASHING, prices=prices)
    assert clean.answer.slug == "setup-change-must-wash"
    assert clean.run_out is None
    assert "within 100 sheets" in clean.answer.what


def test_light_inks_go_before_dark_ones() -> None:
    """Common practice; here it follows from the colours alone. The order given is left alone where it is as good."""
    process = {each.slug: PassInk(name=each.slug, lab=each.solid.lab) for each in inks() if each.solid is not None}
    found = order_of_inks(list(process.values()), paper=PAPER, difference=1.0)
    assert (found.names[0], found.names[-1]) == ("process-yellow", "process-black")
    assert [each.slug for each in found.notes] == ["setup-ink-order"]
    again = order_of_inks([process[name] for name in found.names], paper=PAPER, difference=1.0)
    assert again.names == found.names
    assert again.notes == ()
    assert again.response_times == pytest.approx(again.asked_response_times)


def test_figures_that_come_with_the_program_are_within_common_practice() -> None:
    """A wash takes 10 to 25 minutes and 0.2 to 0.5 litres: common practice; prices are invented and say so."""
    figures = colour_change_figures()
    assert 10 <= figures.washing.minutes <= 25
    assert 0.2 <= figures.washing.litres <= 0.5
    assert "common practice" in figures.washing.source
    assert "invented" in figures.prices.source
