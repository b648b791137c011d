"""A press of three rollers in a row, rebuilt with pencil and paper from its file and the even split.

The sheet takes half of what the blanket brings; every nip halves what meets in it; what goes down the row less what
comes back is what is printed. So for a print of t, coverage c and n rollers the first carries (4 + (n - 1) c) t towards
the plate, each next one c t less, and each brings back c t less than it took (model: algebra of the even split).
"""

from __future__ import annotations

import math

import pytest

from filmsplit.ink.transfer import FixedShare, WalkerFetsko
from filmsplit.studies.film_answer import RollerAnswer, UnitAnswer
from filmsplit.studies.film_question import FilmQuestion
from studies.asked import STRAIGHT, answer_of

EXACT = 1e-7
"""Solves go far below their accuracy here: nothing differs from place to place."""

PLATE_MM = math.pi * 100  # 99.6 body and twice 0.2 of plate
ACROSS_MM = 300.0
COVERAGES = (1.0, 0.3, 0.05)


def solved(coverage: float, **asked: object) -> UnitAnswer:
    question = FilmQuestion(coverage=coverage, round_mm=5, across_mm=30, accuracy=1e-8, **asked)  # type: ignore[arg-type]
    return answer_of(STRAIGHT, question)


def rollers(answer: UnitAnswer) -> dict[str, RollerAnswer]:
    assert answer.films is not None
    return {roller.id: roller for roller in answer.films.rollers}


@pytest.mark.parametrize("c", COVERAGES)
def test_every_film_of_the_row(c: float) -> None:
    found = rollers(solved(c))
    for steps_down, id in enumerate(("T", "B", "F")):
        towards = 4 + (2 - steps_down) * c
        assert found[id].towards_um == pytest.approx(towards, rel=EXACT)
        assert found[id].away_um == pytest.approx(towards - c, rel=EXACT)


@pytest.mark.parametrize("c", COVERAGES)
def test_plate_blanket_and_sheet(c: float) -> None:
    films = solved(c).films
    assert films is not None
    assert films.sheet_um == pytest.approx(1.0, rel=EXACT)
    assert films.blanket_um == pytest.approx(2.0, rel=EXACT)
    assert films.plate_um == pytest.approx(3.0, rel=EXACT)
    assert films.sheet_least_um == pytest.approx(films.sheet_most_um, rel=EXACT)
    # The plate: 3 from the form roller to the blanket, 2 on its way back; the blanket 2 out, 1 back.
    assert sorted(arc.film_um for arc in films.plate_arcs) == pytest.approx([2.0, 3.0], rel=EXACT)
    assert sorted(arc.film_um for arc in films.blanket_arcs) == pytest.approx([1.0, 2.0], rel=EXACT)
    assert [form.share for form in films.forms] == pytest.approx([1.0])


def test_a_rider_carries_its_hosts_film() -> None:
    """Model: a rider changes nothing and carries what its host brings; T has 6 before the feed's side and 5 after B."""
    found = rollers(solved(1.0))
    brought = next(arc.film_um for arc in found["T"].arcs if arc.end == "R")
    assert found["R"].film_um == pytest.approx(brought, rel=EXACT)


@pytest.mark.parametrize("c", COVERAGES)
def test_the_key_film_that_feeds_it(c: float) -> None:
    """Continuous feed at ratio r: the roller leaves with T = (g r + R)/(1 + r^1.65) where it came with R.

    With T - R = c t: g = (T r^1.65 + c t)/r. The law: Coyle, Macosko & Scriven 1986, films in the ratio r^0.65.
    """
    answer, r = solved(c), 0.1
    towards = 4 + 2 * c
    assert answer.asked.key_films_um is not None
    assert answer.asked.key_films_um[0] == pytest.approx((towards * r**1.65 + c) / r, rel=EXACT)


@pytest.mark.parametrize("c", COVERAGES)
def test_grams(c: float) -> None:
    """1 um on 1 mm2 is 1e-6 cm3. Rollers: sum of film x arc x face; the ends of arcs are read off the drawing."""
    answer = solved(c, density_g_per_cm3=1.2)
    ink = answer.ink
    assert ink is not None
    sheet_g = 1.0 * PLATE_MM * ACROSS_MM * c * 1e-6 * 1.2
    assert ink.printed_per_sheet_g == pytest.approx(sheet_g, rel=1e-6)
    assert ink.fed_per_sheet_g == pytest.approx(sheet_g, rel=1e-6)
    assert ink.printed_per_1000_sheets_kg == pytest.approx(sheet_g, rel=1e-6)
    # B lies straight between F and T: half of its 40 mm roller goes each way, one half with T's film less c.
    half_mm, towards = math.pi * 40 / 2, 4 + c
    stored_g = half_mm * ACROSS_MM * (towards + towards - c) * 1e-6 * 1.2
    assert rollers(answer)["B"].stored_g == pytest.approx(
        stored_g, rel=0.02
    )  # half is 12.6 cells of 5 mm, made 13 and 12


def test_all_stored_is_the_sum_of_films_times_surface() -> None:
    answer = solved(0.3, density_g_per_cm3=1.0)
    films, ink = answer.films, answer.ink
    assert films is not None
    assert ink is not None
    on_rollers = sum(arc.film_um * arc.length_mm for roller in films.rollers for arc in roller.arcs)
    on_image = sum(arc.film_um * arc.length_mm for arc in (*films.plate_arcs, *films.blanket_arcs))
    assert ink.stored_g == pytest.approx((on_rollers + 0.3 * on_image) * ACROSS_MM * 1e-6, rel=1e-6)


def test_the_aim_scales_everything_and_the_keys_with_it() -> None:
    one, half = solved(0.3), solved(0.3, aim_um=0.5)
    assert one.films is not None
    assert half.films is not None
    for a, b in zip(one.films.rollers, half.films.rollers, strict=True):
        assert b.film_um == pytest.approx(a.film_um / 2, rel=EXACT)
    assert one.asked.key_films_um is not None
    given = solved(0.3, key_films_um=one.asked.key_films_um[0] / 2)
    assert given.films is not None
    assert given.films.sheet_um == pytest.approx(0.5, rel=EXACT)
    assert given.asked.aim_um is None


@pytest.mark.parametrize("tau", [0.4, 1.0])
def test_another_share_on_the_sheet(tau: float) -> None:
    """Share tau: the blanket brings t/tau, goes back with t/tau - t; plate and form roller follow by the even split."""
    films = solved(1.0, transfer=FixedShare(tau=tau)).films
    assert films is not None
    blanket = 1 / tau
    assert films.blanket_um == pytest.approx(blanket, rel=EXACT)
    # plate brings p, blanket b - t; both leave with half: (p + b - t)/2 = b
    assert films.plate_um == pytest.approx(2 * blanket - (blanket - 1), rel=EXACT)


def test_ink_transfer_by_walker_and_fetsko() -> None:
    """The film on the blanket that gives 1 um on the sheet solves y(x) = 1; density 1, so um are g/m2.

    y = (1 - e^-kx)(b(1 - e^(-x/b)) + f(x - b(1 - e^(-x/b)))), TAGA Proceedings 1955 (equation from memory).
    """
    k, b, f = 3.0, 2.0, 0.3
    answer = solved(1.0, transfer=WalkerFetsko(k=k, b=b, f=f), density_g_per_cm3=1.0)
    films = answer.films
    assert films is not None
    x = films.blanket_um
    held = b * (1 - math.exp(-x / b))
    assert (1 - math.exp(-k * x)) * (held + f * (x - held)) == pytest.approx(1.0, rel=1e-6)
    assert films.sheet_um == pytest.approx(1.0, rel=1e-6)


def test_zone_by_zone_without_oscillation_nothing_goes_sideways() -> None:
    """Each zone is a train of its own, fed by the same key film: y (T(y) r^1.65 + c) / r = g, T = 4 + 2 c."""
    c = (1.0, 1.0, 0.5, 0.5, 0.2, 0.2, 0.1, 0.1, 0.05, 0.05)
    answer = answer_of(STRAIGHT, FilmQuestion(coverage=c, key_films_um=10.0, round_mm=5, across_mm=10, accuracy=1e-8))
    films, r = answer.films, 0.1
    assert films is not None
    assert [zone.coverage for zone in films.zones] == pytest.approx(c)
    by_hand = [10.0 * r / ((4 + 2 * each) * r**1.65 + each) for each in c]
    assert [zone.sheet_um for zone in films.zones] == pytest.approx(by_hand, rel=1e-6)


def test_keys_by_zone_feed_their_own_zone_only() -> None:
    keys = (0.0, 0.0, 0.0, 10.0, 0.0, 0.0, 0.0, 0.0, 0.0, 20.0)
    answer = answer_of(STRAIGHT, FilmQuestion(coverage=1.0, key_films_um=keys, round_mm=5, across_mm=10, accuracy=1e-8))
    films, r = answer.films, 0.1
    assert films is not None
    by_hand = [g * r / (6 * r**1.65 + 1) for g in keys]
    assert [zone.sheet_um for zone in films.zones] == pytest.approx(by_hand, rel=1e-6, abs=1e-9)
