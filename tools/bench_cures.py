"""Measure ten cures of one ink on a small press, pairs and bands included, beside the trial they are made of."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from functools import partial

import numpy as np

from filmsplit.actions.find import find_press
from filmsplit.ink.splitting import Array
from filmsplit.studies.cure_list import Allowed, Listing
from filmsplit.studies.cure_pairs import with_pairs
from filmsplit.studies.cures import Cure, Cures, Trial, ranked
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import settings_of

PRESS = "heron"
SIZE_MM = (400, 280)
CURES = 10
RUNS = 3
ASKED_S = 5.0


def main() -> None:
    """Print the table: seconds by the clock, seconds of the processor, and as so many single trials."""
    press = find_press(PRESS).press
    question = FilmQuestion(coverage=_window(), sheet_mm=(float(SIZE_MM[0]), float(SIZE_MM[1])))
    (setting,) = settings_of(press, press.units[:1], question)
    listing = Listing(press=press, job=(setting,), worst=0, allowed=Allowed(stroke_mm=(0.0, 20.0), timing=True))
    ten = listing.all()[0][:CURES]
    one = _median_s(lambda: Trial(film_um=10.0).strongest((setting,)))
    print(f"| {PRESS}, {SIZE_MM[0]} x {SIZE_MM[1]} mm, one ink | s | s of the processor | × one trial |")
    print("|---|---|---|---|")
    for name, work in (
        ("one trial", lambda: Trial(film_um=10.0).strongest((setting,))),
        (f"{len(ten)} cures tried", partial(_tried, ten)),
        (f"{len(ten)} cures ranked, bands of three", partial(_ranked, listing, ten)),
        ("pairs of the best on top of that", partial(_paired, listing, _ranked(listing, ten))),
    ):
        taken, spent = _median_s(work)
        print(f"| {name} | {taken:.2f} | {spent:.2f} | {taken / one[0]:.1f} |")
    print(f"asked: {CURES} cures in {ASKED_S:g} s on two cores")


def _window() -> Array:
    """A tint with a bare window near its lead edge."""
    coverage = np.zeros(SIZE_MM)
    coverage[20:340, 20:260] = 0.6
    coverage[60:90, 100:180] = 0.0
    return coverage


def _tried(cures: list[Cure]) -> None:
    trial = Trial(film_um=10.0)
    for cure in cures:
        trial.strongest(cure.settings)


def _ranked(listing: Listing, cures: list[Cure]) -> Cures:
    return ranked(listing.job, cures, trial=Trial(film_um=10.0))


def _paired(listing: Listing, found: Cures) -> None:
    with_pairs(found, listing, trial=Trial(film_um=10.0))


def _median_s(work: Callable[[], object]) -> tuple[float, float]:
    taken = []
    for _ in range(RUNS):
        begun, spent = time.perf_counter(), time.process_time()
        work()
        taken.append((time.perf_counter() - begun, time.process_time() - spent))
    return statistics.median(each[0] for each in taken), statistics.median(each[1] for each in taken)


if __name__ == "__main__":
    main()
