"""Closed forms: what marching must reproduce exactly. Settled by marching long, so nothing rests on the solver."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import j0

from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.network import FountainFeed, Loop, Swing
from filmsplit.simulation.state import empty, uniform
from filmsplit.simulation.train import compile_network
from physics.trains import at, chain, nip

EXACT = 1e-9
"""Even-split algebra, marched until nothing moves: the tolerance is that of the marching out."""


def settled(net, *, cover=1.0, films=None, revolutions=900, rows=60, watch=False, columns=1):
    grid = grid_of(net.plate_mm, float(columns), round_mm=net.plate_mm / rows, across_mm=1.0)
    train = compile_network(net, grid)
    feeds = films or dict.fromkeys([feed.id for feed in net.feeds], 10.0)
    demand = Demand(coverage=np.full((grid.rows, grid.columns), cover), films_um=feeds)
    state = march(train, demand, state=empty(train), revolutions=revolutions).state
    return train, march(train, demand, state=state, revolutions=1, watch=watch)


def passing(train, done, id):
    """Mean film arriving at and leaving a nip, (a, b) each."""
    number = next(i for i, n in enumerate(train.nips) if n.id == id)
    weight = done.passing.weight[number].sum(axis=1)
    return done.passing.arriving[number].sum(axis=1) / weight, done.passing.leaving[number].sum(axis=1) / weight


def test_solid_chain_steps_by_the_sheet_film():
    """Nip totals 2q, 4q, 6q, 8q, 10q from the sheet up; even split (common practice), algebra."""
    train, done = settled(chain(3), watch=True)
    q = done.sheet_means_um[0]
    for id, total in (("plate/blanket", 4), ("R3/plate", 6), ("R2/R3", 8), ("R1/R2", 10)):
        arriving, leaving = passing(train, done, id)
        assert arriving.sum() / q == pytest.approx(total, rel=EXACT)
        assert leaving / q == pytest.approx([total / 2, total / 2], rel=EXACT)
    arriving, _ = passing(train, done, "R3/plate")
    assert arriving / q == pytest.approx([4, 2], rel=EXACT)  # form roller 4q -> 3q, plate 3q -> 2q
    arriving, _ = passing(train, done, "plate/blanket")
    assert arriving / q == pytest.approx([3, 1], rel=EXACT)  # blanket 2q -> q


def test_four_micrometres_to_the_plate_print_one():
    """The last form roller brings 4 um: plate 3, blanket 2, sheet 1.00 um (even split; about 1 um on the sheet is
    common practice, and lies in the ISO 2846-1 window 0.7-1.1 um)."""
    net = chain(1)  # fountain film g meets the form roller: 4 = (g + 3) / 2
    _, done = settled(net, films={"feed": 5.0})
    assert done.sheet_means_um[0] == pytest.approx(1.0, rel=EXACT)


@pytest.mark.parametrize(
    ("share", "totals"), [(0.6, (1.666667, 2.777778, 4.341564)), (0.4, (2.5, 6.25, 32.96875)), (0.5, (2, 4, 10))]
)
def test_unequal_split_along_the_chain(share, totals):
    """T_n = q (1 - r^n)/(2 alpha - 1), r = (1 - alpha)/alpha, to the decimals printed (algebra)."""
    net = chain(3, share=share)
    grid = grid_of(60.0, 1.0, round_mm=1.0, across_mm=1.0)
    train = compile_network(net, grid)
    from filmsplit.ink.transfer import FixedShare  # noqa: PLC0415

    demand = Demand(coverage=np.ones((60, 1)), films_um={"feed": 10.0}, transfer=FixedShare(tau=share))
    state = march(train, demand, state=empty(train), revolutions=2500).state
    done = march(train, demand, state=state, revolutions=1, watch=True)
    q = done.sheet_means_um[0]
    blanket_to_sheet = passing(train, done, "plate/blanket")[1][1] / q
    assert blanket_to_sheet == pytest.approx(totals[0], abs=1e-6)
    assert passing(train, done, "plate/blanket")[0].sum() / q == pytest.approx(totals[1], abs=1e-6)
    assert passing(train, done, "R1/R2")[0].sum() / q == pytest.approx(totals[2], abs=1e-5)


@pytest.mark.parametrize(("cover", "rollers"), [(0.05, 2), (0.4, 4), (1.0, 3)])
def test_first_roller_film_under_uniform_coverage(cover, rollers):
    """The first of n rollers carries (4 + (n - 1) c) t towards the plate (algebra); here the form roller is the nth,
    so the film towards it from the first is followed up the chain."""
    train, done = settled(chain(rollers), cover=cover, watch=True, revolutions=4000)
    t = done.sheet_means_um[0]
    for n in range(1, rollers + 1):
        number = rollers - n + 1  # nth roller from the plate is R(number)
        id = "/".join([f"R{number}", f"R{number + 1}" if n > 1 else "plate"])
        assert passing(train, done, id)[0][0] / t == pytest.approx(4 + (n - 1) * cover, rel=1e-8)


def forms(order, *, drums=1):
    """Drums with form rollers in the order each drum meets them; the plate meets F1, F2, ... in turn."""
    loops = [Loop(id=f"F{i}", length_mm=16.0) for i in range(1, len(order) + 1)]
    base = chain(1, plate_mm=80.0)
    cylinders = [loop for loop in base.loops if loop.id in ("plate", "blanket")]
    nips = [nip((f"F{i}", 8.0), ("plate", 9.0 * (i - 1))) for i in range(1, len(order) + 1)]
    for drum in range(drums):
        loops.append(Loop(id=f"D{drum + 1}", length_mm=30.0))
    per = len(order) // drums
    for place, form in enumerate(order):
        nips.append(nip((f"D{place // per + 1}", 6.0 * (place % per + 1)), (f"F{form}", 0.0)))
    if drums == 2:
        loops.append(Loop(id="B", length_mm=14.0))
        nips += [nip(("D1", 24.0), ("B", 0.0)), nip(("B", 7.0), ("D2", 0.0))]
    nips.append(nip(("plate", 50.0), ("blanket", 0.0)))
    feed = FountainFeed(id="feed", at=at("D1", 0.0), speed_ratio=1.0)
    return replace(base, loops=(*loops, *cylinders), nips=tuple(nips), feeds=(feed,), sheet=at("blanket", 40.0))


def shares(train, done, count):
    given = []
    for form in range(1, count + 1):
        arriving, leaving = passing(train, done, f"F{form}/plate")
        given.append(arriving[0] - leaving[0])
    return np.array(given) / sum(given)


@pytest.mark.parametrize(
    ("order", "expected", "films"),
    [((1, 2), (3 / 4, 1 / 4), (2, 11 / 4, 3)), ((2, 1), (1 / 2, 1 / 2), (2, 5 / 2, 3))],
)
def test_two_form_rollers_on_one_drum(order, expected, films):
    """Shares and plate films by algebra of the even split; feed nip 17/2 q and 8 q."""
    train, done = settled(forms(order), watch=True, rows=80)
    q = done.sheet_means_um[0]
    assert shares(train, done, 2) == pytest.approx(expected, rel=EXACT)
    first, second = passing(train, done, "F1/plate"), passing(train, done, "F2/plate")
    assert np.array([first[0][1], first[1][1], second[1][1]]) / q == pytest.approx(films, rel=EXACT)
    # the drum brings d to the fountain film g = 10, takes q away: (g - d)/2 = q, total g + d
    total = 10.0 + (10.0 - 2 * q)
    assert total / q == pytest.approx(17 / 2 if order == (1, 2) else 8, rel=EXACT)


def test_four_form_rollers_on_two_drums():
    """17/24, 17/72, 1/24, 1/72 (algebra)."""
    train, done = settled(forms((1, 2, 3, 4), drums=2), watch=True, rows=80, revolutions=1500)
    assert shares(train, done, 4) == pytest.approx([17 / 24, 17 / 72, 1 / 24, 1 / 72], rel=1e-8)


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_form_rollers_each_fed_by_the_same_film(count):
    """100; 60, 40; 47.4, 31.6, 21.1; 41.5, 27.7, 18.5, 12.3 %: each 2/3 of the one before (algebra)."""
    base = forms(tuple(range(1, count + 1)))
    net = replace(
        base,
        loops=tuple(loop for loop in base.loops if loop.id != "D1"),
        nips=tuple(n for n in base.nips if n.a.loop != "D1"),
        feeds=tuple(FountainFeed(id=f"S{i}", at=at(f"F{i}", 0.0), speed_ratio=1.0) for i in range(1, count + 1)),
    )
    train, done = settled(net, watch=True, rows=80)
    weights = (2 / 3) ** np.arange(count)
    assert shares(train, done, count) == pytest.approx(weights / weights.sum(), rel=EXACT)


def with_rider(net, host="R2", *, gap_swing=None):
    loops = (*net.loops, Loop(id="rider", length_mm=13.0, swing=gap_swing))
    return replace(net, loops=loops, nips=(*net.nips, nip((host, 4.0), ("rider", 0.0))))


def test_rider_changes_nothing_and_carries_its_hosts_film():
    """Constant coverage, no gap (algebra)."""
    train, plain = settled(chain(3), cover=0.3, revolutions=2500)
    train_with, ridden = settled(with_rider(chain(3)), cover=0.3, revolutions=2500)
    for id in ("R1", "R2", "R3", "plate", "blanket"):
        assert ridden.state.of(train_with, id) == pytest.approx(plain.state.of(train, id), rel=EXACT)
    host = ridden.state.of(train_with, "R2")
    rider = ridden.state.of(train_with, "rider")
    assert np.abs(host - rider.mean()).min() < EXACT * rider.mean()
    added = ridden.stored_after_um_mm2 - plain.stored_after_um_mm2
    assert added == pytest.approx(rider.mean() * 13.0 * 1.0, rel=1e-8)  # area x film


def test_rider_changes_the_print_where_there_is_a_gap():
    """With a gap it may change the print locally: it must."""
    prints = []
    for net in (chain(3), with_rider(chain(3))):
        train = compile_network(net, grid_of(60.0, 1.0, round_mm=1.0, across_mm=1.0))
        cover = np.ones((60, 1))
        cover[48:] = 0
        demand = Demand(coverage=cover, films_um={"feed": 10.0})
        prints.append(march(train, demand, state=empty(train), revolutions=900).sheet_um[:48])
    assert np.abs(prints[0] / prints[1] - 1).max() > 0.002


def test_closed_train_keeps_its_ink_and_evens_out():
    """No feed, no take-off: the total is constant; incommensurate loops end with one mean film (algebra)."""
    net = replace(chain(3), feeds=(), sheet=None)
    lengths = {"R1": 17.0, "R2": 23.0, "R3": 29.0}
    net = replace(net, loops=tuple(replace(lp, length_mm=lengths.get(lp.id, lp.length_mm)) for lp in net.loops))
    train = compile_network(net, grid_of(60.0, 2.0, round_mm=1.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((60, 2)))
    start = uniform(train, {"R1": 8.0, "R3": 1.0})
    done = march(train, demand, state=start, revolutions=1500)
    assert done.stored_after_um_mm2 == pytest.approx(done.stored_before_um_mm2, rel=1e-12)
    means = [done.state.of(train, loop.id).mean() for loop in train.loops]
    assert means == pytest.approx([np.mean(means)] * 5, rel=0.005)
    even = march(train, demand, state=uniform(train, {loop.id: 2.0 for loop in train.loops}), revolutions=50)
    assert even.state.films == pytest.approx(2.0, rel=1e-12)


def chain_of_nips(nips, *, feed, full_top=False):
    """Linear chain of N nips (the last at the sheet), equal half-loops of one cell: the plainest train there is."""
    rollers = nips - 3
    net = chain(rollers, plate_mm=20.0, roller_mm=20.0, feed=feed)
    if feed == "flux":
        # the top roller's whole loop is one half-loop: one cell between its nip and itself
        top = 20.0 if full_top else 10.0
        place = 0.0
        loops = tuple(replace(lp, length_mm=top) if lp.id == "R1" else lp for lp in net.loops)
        first = nip(("R1", 10.0 if full_top else 0.0), net_place(net))
        feeds = (replace(net.feeds[0], at=at("R1", place)),)
        net = replace(net, loops=loops, nips=(first, *net.nips[1:]), feeds=feeds)
    return net


def net_place(net):
    return net.nips[0].b.loop, net.nips[0].b.at_mm


@pytest.mark.parametrize(
    ("feed", "full_top", "factor"),
    [
        ("fountain", False, np.cos(np.pi / 6)),
        ("flux", False, np.cos(np.pi / 11)),
        ("flux", True, np.cos(np.pi / 12)),
    ],
)
def test_slowest_decay_of_a_chain_of_five_nips(feed, full_top, factor):
    """Slowest factor per half revolution cos(pi/(N+1)), cos(pi/(2N+1)), cos(pi/(2N+2)), N = 5; per full revolution
    0.75, 0.920627, 0.933013 (algebra)."""
    # five nips: with the fountain the feed is a nip too (feed, R1/R2, R2/plate, plate/blanket, blanket/sheet)
    net = chain_of_nips(5, feed=feed) if feed == "fountain" else chain_of_nips(6, feed=feed, full_top=full_top)
    train = compile_network(net, grid_of(20.0, 1.0, round_mm=10.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((2, 1)), films_um={"feed": 0.0})
    state = march(train, demand, state=uniform(train, {loop.id: 1.0 for loop in train.loops}), revolutions=150).state
    later = march(train, demand, state=state, revolutions=1).state
    assert later.films.max() / state.films.max() == pytest.approx(factor**2, rel=1e-7)


@pytest.mark.parametrize("cover", [0.05, 0.5, 1.0])
def test_flux_fed_response_sums_to_ink_stored_over_printed(cover):
    """Sum over sheets of (1 - film / settled film) = ink stored / ink printed per sheet, exact (conservation)."""
    net = chain(3, feed="flux")
    train = compile_network(net, grid_of(60.0, 1.0, round_mm=1.0, across_mm=1.0))
    demand = Demand(coverage=np.full((60, 1), cover), films_um={"feed": 1.0})
    done = march(train, demand, state=empty(train), revolutions=4000)
    means = done.sheet_means_um
    final = 1.0 / cover  # all that is fed is printed
    assert means[-1] == pytest.approx(final, rel=1e-9)
    stored_per_sheet = done.stored_after_um_mm2 / (final * cover * 60.0)
    assert (1 - means / final).sum() == pytest.approx(stored_per_sheet, rel=1e-8)


def sheets_to_63(net, cover):
    train = compile_network(net, grid_of(60.0, 1.0, round_mm=5.0, across_mm=1.0))
    demand = Demand(coverage=np.full((12, 1), cover), films_um={"feed": 1.0})
    means = march(train, demand, state=empty(train), revolutions=6000).sheet_means_um
    assert np.all(np.diff(means) >= -1e-12 * means[-1])  # monotone (model, 5.5)
    return 1 + int(np.argmax(means >= (1 - np.exp(-1)) * means[-1]))


def test_response_and_coverage():
    """Flux-fed: n63 at 1.25 % / n63 at 5 % = 4 +- 5 %; taking ink back: between 1 and 4; film-fed at equal speeds
    1.0 +- 0.15 (algebra, marched). The 4 is that of a train whose store does not depend on coverage: rollers large
    beside what plate and blanket hold."""
    flux = chain(2, feed="flux", roller_mm=60.0)
    assert sheets_to_63(flux, 0.0125) / sheets_to_63(flux, 0.05) == pytest.approx(4.0, rel=0.05)
    slow = chain(3, ratio=0.02)
    assert 1 < sheets_to_63(slow, 0.0125) / sheets_to_63(slow, 0.05) < 4
    full = chain(3)
    assert sheets_to_63(full, 0.0125) / sheets_to_63(full, 0.05) == pytest.approx(1.0, abs=0.15)


def test_ghost_of_a_bare_strip_repeats_by_the_form_roller():
    """Held film (r = 1), solid but for a bare strip narrower than a turn: settled q/8 = 12.50 % one form-roller turn
    on, then 3/8 a turn: 4.688, 1.758 %; sheet n: q/8 (1 - 2^-n), first q/16 (algebra and march)."""
    base = chain(1, plate_mm=240.0, roller_mm=26.0)  # 9.2 turns a sheet: its ghost misses the strip
    train = compile_network(base, grid_of(240.0, 1.0, round_mm=1.0, across_mm=1.0))
    solid = Demand(coverage=np.ones((240, 1)), films_um={"feed": 10.0})
    state = march(train, solid, state=empty(train), revolutions=400).state
    # "the strip goes bare": plate and blanket of the strip are washed with the new plate, the rest keeps its ink
    cover = np.ones((240, 1))
    cover[10:13] = 0
    films = state.films.copy()
    for id, lead in (("plate", 0), ("blanket", train.blanket_lead)):
        loop = train.loops[train.loop_index(id)]
        films[loop.rows][np.roll(cover[:, 0] == 0, -lead)] = 0
    bare = Demand(coverage=cover, films_um={"feed": 10.0})
    state = replace(state, films=films)
    for sheet in range(1, 25):
        # the sheet's own first row reaches the impression a turn after the form nip: sheet n is complete one later
        done = march(train, bare, state=state, revolutions=1)
        state = done.state
        if sheet in (2, 3):
            strength = ghost(done.sheet_um, 36)
            assert strength == pytest.approx(1 / 8 * (1 - 0.5 ** (sheet - 1)), abs=2e-6)
    for turn, expected in enumerate((0.125, 0.046875, 0.017578125), start=1):
        assert ghost(done.sheet_um, 10 + 26 * turn) == pytest.approx(expected, abs=2e-5)


def ghost(sheet, row):
    """Strength at a row against the median of the even area."""
    even = np.median(sheet[sheet > 0])
    return float(sheet[row + 1, 0] / even - 1)


@pytest.mark.parametrize(("turns", "amplitude"), [(1.0, 1.0), (0.25, 0.4472), (0.5, 1 / 3), (1.25, 0.4472)])
def test_rider_is_a_comb_for_ripple(turns, amplitude):
    """Returned amplitude |1/(2 - exp(-i theta))|, theta = 2 pi C / wavelength (algebra; four decimals printed)."""
    circumference = 40
    wave = round(circumference / turns)
    host = 4 * circumference
    net = replace(
        chain(1),
        plate_mm=float(host),
        loops=(Loop(id="host", length_mm=float(host * 8)), Loop(id="rider", length_mm=float(circumference))),
        nips=(nip(("host", 0.0), ("rider", 0.0)),),
        feeds=(),
        sheet=None,
    )
    train = compile_network(net, grid_of(float(host), 1.0, round_mm=1.0, across_mm=1.0))
    state = empty(train)
    rows = np.arange(host * 8)
    state.films[train.loops[0].rows, 0] = 1 + 0.5 * np.cos(2 * np.pi * rows / wave)
    state.films[train.loops[1].rows, 0] = 1.0
    done = march(train, Demand(coverage=np.zeros((host, 1))), state=state, revolutions=8)
    returned = done.state.of(train, "host")[-4 * host :, 0]  # the start of the pass has not settled
    ripple = np.exp(2j * np.pi * np.arange(returned.size) / wave)
    assert abs(2 * np.mean(returned * ripple)) / 0.5 == pytest.approx(amplitude, abs=1e-4)


def test_oscillating_rider_returns_the_square_of_a_bessel_function():
    """Exchange share -> 0, cycle incommensurate: J0^2(pi stroke / wavelength) of a pattern across; stroke 30,
    wavelength 80 mm -> 0.4651 (algebra; 0.464 marched at share 0.01)."""
    assert j0(np.pi * 30 / 80) ** 2 == pytest.approx(0.4651, abs=5e-5)
    share, width = 0.01, 800.0
    net = replace(
        chain(1),
        plate_mm=100.0,
        loops=(
            Loop(id="host", length_mm=100.0),
            Loop(id="rider", length_mm=37.0, swing=Swing(stroke_mm=30.0, cycle_rev=2.0**0.5 * 1.7)),
        ),
        nips=(nip(("host", 0.0), ("rider", 0.0), contact=share),),
        feeds=(),
        sheet=None,
    )
    train = compile_network(net, grid_of(100.0, width, round_mm=1.0, across_mm=1.0))
    pattern = np.cos(2 * np.pi * train.grid.centres_mm / 80)
    middle = slice(200, 600)
    state = empty(train)
    host = train.loops[0].rows
    demand = Demand(coverage=np.zeros((100, 800)))
    back = []
    for turn in range(700):
        state.films[host] = 1 + 0.5 * pattern  # the host is held: every turn it brings the same pattern
        done = march(train, demand, state=state, revolutions=1)
        if turn >= 500:
            gained = done.state.films[host].mean(axis=0) - (1 + 0.5 * pattern) * (1 - share / 2)
            back.append(gained / (share / 2) - 1)
        state = done.state
    returned = np.mean(back, axis=0)[middle] @ pattern[middle] / (pattern[middle] @ pattern[middle]) / 0.5
    assert returned == pytest.approx(0.4651, abs=0.004)
