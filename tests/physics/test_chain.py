"""Closed forms of a linear chain: even and unequal split, coverage, continuous feed, slip, a law on the sheet.

All by algebra of the splits, marched until nothing moves, so nothing rests on the solver.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from filmsplit.ink.transfer import FixedShare, WalkerFetsko
from filmsplit.simulation.network import Loop
from physics.marching import passing, settled
from physics.trains import at, chain, nip

EXACT = 1e-9
"""Exact algebra marched to rest at 1e-13: what is left is how far rest is from settled, and rounding."""

WINDOW_UM = (0.7, 1.1)
"""Film of laboratory prints, ISO 2846-1, cyan, magenta and yellow (memory)."""


def test_solid_chain_steps_by_the_sheet_film() -> None:
    """Nip totals 2q, 4q, 6q, 8q, 10q from the sheet up; even split (common practice), algebra."""
    train, done = settled(chain(3))
    q = done.sheet_means_um[0]
    for id, total in (("plate/blanket", 4), ("R3/plate", 6), ("R2/R3", 8), ("R1/R2", 10)):
        arriving, leaving = passing(train, done, id)
        assert arriving.sum() / q == pytest.approx(total, rel=EXACT)
        assert leaving / q == pytest.approx([total / 2, total / 2], rel=EXACT)
    to_plate, from_plate = passing(train, done, "R3/plate")
    assert to_plate / q == pytest.approx([4, 2], rel=EXACT)  # form roller 4q -> 3q, plate back with 2q -> 3q
    assert from_plate / q == pytest.approx([3, 3], rel=EXACT)
    to_blanket, from_blanket = passing(train, done, "plate/blanket")
    assert to_blanket / q == pytest.approx([3, 1], rel=EXACT)  # the blanket comes from the sheet with q
    assert from_blanket / q == pytest.approx([2, 2], rel=EXACT)  # and goes to it with 2q: the total there


def test_four_micrometres_to_the_plate_print_one() -> None:
    """The last form roller brings 4 um: plate 3, blanket 2, sheet 1.00 um (even split; about 1 um on the sheet is
    common practice, and lies in the window of ISO 2846-1)."""
    train, done = settled(chain(1), film=5.0)  # fountain film g meets the form roller: 4 = (g + 3) / 2
    to_plate, from_plate = passing(train, done, "R1/plate")
    assert to_plate[0] == pytest.approx(4.0, rel=EXACT)
    assert from_plate[1] == pytest.approx(3.0, rel=EXACT)
    assert passing(train, done, "plate/blanket")[1][1] == pytest.approx(2.0, rel=EXACT)
    assert done.sheet_means_um[0] == pytest.approx(1.0, rel=EXACT)
    assert WINDOW_UM[0] <= done.sheet_means_um[0] <= WINDOW_UM[1]


@pytest.mark.parametrize(
    ("share", "totals"),
    [
        (0.6, (1.666667, 2.777778, 4.341564)),
        (0.4, (2.5, 6.25, 32.96875)),
        (0.5, (2.0, 4.0, 10.0)),
        (0.5 + 1e-8, (2.0, 4.0, 10.0)),
    ],
)
def test_unequal_split_along_the_chain(share: float, totals: tuple[float, float, float]) -> None:
    """T_n = q (1 - r^n)/(2 alpha - 1), r = (1 - alpha)/alpha; T_1, T_2, T_5 to the six decimals printed; towards an
    even split 2 n q (algebra)."""
    train, done = settled(chain(3, share=share), transfer=FixedShare(tau=share))
    q = done.sheet_means_um[0]
    to_sheet = passing(train, done, "plate/blanket")[1][1]
    nips = [passing(train, done, id)[0].sum() for id in ("plate/blanket", "R1/R2")]
    assert np.array([to_sheet, *nips]) / q == pytest.approx(totals, abs=1e-6)


@pytest.mark.parametrize(("cover", "rollers"), [(0.05, 2), (0.4, 4), (1.0, 3)])
def test_first_roller_film_under_uniform_coverage(cover: float, rollers: int) -> None:
    """The first of n rollers carries (4 + (n - 1) c) t towards the plate (algebra), the second the same with n - 1."""
    train, done = settled(chain(rollers), cover=cover)
    t = done.sheet_means_um[0]
    for n in range(1, rollers + 1):
        number = rollers - n + 1
        id = f"R{number}/" + (f"R{number + 1}" if n > 1 else "plate")
        assert passing(train, done, id)[0][0] / t == pytest.approx(4 + (n - 1) * cover, rel=EXACT)


def test_first_roller_film_where_there_is_a_gap() -> None:
    """With a gap c is the mean over the whole plate. Exact from roller to roller, as c t flows through every nip; that
    the form roller's mean film is 4 t leaves out which of its cells meet the image: 1 % (measured 0.06 %)."""
    cover = np.zeros((60, 1))
    cover[:48] = 0.5
    lengths = {"R1": 17.0, "R2": 23.0, "R3": 19.0}
    net = chain(3)
    net = replace(net, loops=tuple(replace(lp, length_mm=lengths.get(lp.id, lp.length_mm)) for lp in net.loops))
    train, done = settled(net, cover=cover)
    t, flows = done.sheet_means_um[0], done.printed[0, 0] / 60
    assert flows == pytest.approx(0.4 * t, rel=1e-12)
    towards = [passing(train, done, id)[0][0] for id in ("R3/plate", "R2/R3", "R1/R2")]
    assert np.diff(towards) == pytest.approx([flows, flows], rel=1e-8)
    assert towards[2] / t == pytest.approx(4 + 2 * 0.4, rel=0.01)


@pytest.mark.parametrize("ratio", [1.0, 0.3, 0.05, 1e-6])
def test_continuous_feed_between_its_limits(ratio: float) -> None:
    """Chain of six nips with the feed: the top roller brings 5q and takes 6q away, so (g r + 5q)/(1 + r^1.65) = 6q and
    q = g r/(1 + 6 r^1.65) (algebra of Coyle, Macosko & Scriven's ratio, J. Fluid Mech. 171 (1986) 183-207)."""
    _, done = settled(chain(3, ratio=ratio), film=10.0 / ratio)
    q = done.sheet_means_um[0]
    assert q == pytest.approx(10.0 / (1 + 6 * ratio**1.65), rel=1e-8)
    if ratio == 1.0:
        assert q == pytest.approx(10.0 / 7, rel=EXACT)  # film-fed: nip totals 2nq, the sixth is 12q = g + 5q
    if ratio == 1e-6:
        assert q == pytest.approx(settled(chain(3, feed="flux"))[1].sheet_means_um[0], rel=1e-8)  # flux-fed


@pytest.mark.parametrize(("ratio", "films"), [(1.05, 1.03222), (1.10, 1.06391), (2.0, 1.56917)])
def test_films_leave_a_slipping_nip_in_the_published_ratio(ratio: float, films: float) -> None:
    """(speed ratio)^0.65, Coyle, Macosko & Scriven, J. Fluid Mech. 171 (1986) 183-207, to the five decimals printed;
    and the volume, film x speed, is conserved. The film of the fast roller is the one at ``ratio``."""
    net = chain(2)
    loops = (*net.loops, Loop(id="fast", length_mm=18.0, speed=ratio))
    net = replace(net, loops=loops, nips=(*net.nips, nip(("fast", 0.0), ("R1", 4.0), slips=True)))
    train, done = settled(net)
    arriving, leaving = passing(train, done, "fast/R1")
    assert leaving.sum() == pytest.approx(arriving.sum(), rel=1e-12)
    assert leaving[0] / ratio / leaving[1] == pytest.approx(films, abs=5e-6)


@pytest.mark.parametrize(("brought", "taken"), [(1.0, 0.80850), (2.0, 1.48129), (10.0, 4.39057)])
def test_a_law_on_the_sheet_in_a_chain(brought: float, taken: float) -> None:
    """The blanket brings x, the sheet takes y, so each nip further up totals 2y more and the fountain film that does
    it is x + 5y (algebra). Walker & Fetsko, TAGA Proc. 1955 (equation from memory), k, b, f = 3, 2, 0.30; to
    five decimals, times what they make of the films."""
    law = WalkerFetsko(k=3, b=2, f=0.30)
    train, done = settled(chain(3), film=brought + 5 * taken, transfer=law)
    assert passing(train, done, "plate/blanket")[1][1] == pytest.approx(brought, abs=1e-4)
    assert done.sheet_means_um[0] == pytest.approx(taken, abs=2e-5)


def test_the_sheet_may_take_more_or_less_than_half() -> None:
    """Blanket brings q/tau and keeps q/tau - q; up the chain each nip adds q to what both leave with: g = q/tau + 5q
    (algebra)."""
    for tau in (0.3, 0.5, 0.8):
        _, done = settled(chain(3), film=10.0, transfer=FixedShare(tau=tau))
        assert done.sheet_means_um[0] == pytest.approx(10.0 / (1 / tau + 5), rel=EXACT)


def test_badly_touching_nip_needs_a_larger_difference() -> None:
    """Exchange share e of the way to the even split: e (a - b)/2 = q goes through, so film above less film below is
    2q/e (algebra)."""
    net = chain(3)
    net = replace(net, nips=(replace(net.nips[0], contact=0.4), *net.nips[1:]), sheet=at("blanket", 30.0))
    train, done = settled(net)
    (above, below), _ = passing(train, done, "R1/R2")
    assert (above - below) / done.sheet_means_um[0] == pytest.approx(2 / 0.4, rel=EXACT)
