"""Ripple and first sheets of a print: nothing ripples under an even feed, and the start ends at the settled print."""

from __future__ import annotations

import numpy as np
import pytest

from filmsplit.ink.colour import colour_difference, tint_difference
from filmsplit.ink.splitting import Array
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.settle import settle
from filmsplit.studies.print_course import SHEETS, PrintCourse, print_course
from physics.marching import train_of
from physics.trains import chain

PLATE, FORM = 120, 26
FILMS = np.array([10.0])


def course_of(coverage: Array, *, rollers: int = 1) -> PrintCourse:
    rows, columns = coverage.shape
    train = train_of(chain(rollers, plate_mm=float(rows), roller_mm=float(FORM)), rows=rows, columns=columns)
    zoned = ZonedTrain(train=train, demand=Demand(coverage=coverage), zones=((0, columns),))
    solution = settle(train, zoned.keyed(FILMS), accuracy=1e-6, throw=True)
    return print_course(zoned, FILMS, solution=solution, revolutions=1)


def test_an_even_print_under_an_even_feed_does_not_ripple() -> None:
    found = course_of(np.full((PLATE, 12), 0.5))
    assert found.between_sheets == pytest.approx(0.0, abs=1e-9)
    assert found.along_sheet == pytest.approx(0.0, abs=1e-6)
    assert all(each.ghost == pytest.approx(0.0, abs=1e-9) for each in found.start)


def test_a_lead_edge_behind_bare_plate_shows_along_the_sheet() -> None:
    coverage = np.full((PLATE, 12), 0.5)
    coverage[90:] = 0.0
    assert course_of(coverage).along_sheet > 0.01


def test_the_start_rises_to_the_settled_print() -> None:
    """At the same phase the rise is monotone and ends at the settled film (model, section 5, line 5)."""
    coverage = np.full((PLATE, 12), 0.5)
    coverage[10:20] = 0.0
    found = course_of(coverage, rollers=3)
    films = [each.film for each in found.start]
    assert [each.sheet for each in found.start] == list(SHEETS)
    assert films == sorted(films)
    assert films[-1] == pytest.approx(1.0, abs=1e-3)
    assert found.start[-1].ghost > 0.01


SOLID, PAPER = (16.0, 0.0, 0.0), (95.0, 0.0, -2.0)
"""A black solid and its paper, as in ISO 12647-2 (memory)."""


def test_a_ghost_of_no_strength_has_no_colour_difference() -> None:
    assert tint_difference(SOLID, paper=PAPER, coverage=0.5, strength=0.0) == pytest.approx(0.0, abs=1e-9)


def test_a_ghost_that_takes_all_ink_shows_the_paper() -> None:
    """Strength -1 on a solid: the difference between solid and paper themselves."""
    found = tint_difference(SOLID, paper=PAPER, coverage=1.0, strength=-1.0)
    assert found == pytest.approx(colour_difference(SOLID, PAPER), abs=0.01)


@pytest.mark.parametrize("coverage", [0.2, 0.6, 1.0])
def test_stronger_ghosts_differ_more(coverage: float) -> None:
    found = [
        tint_difference((55.0, -37.0, -50.0), paper=PAPER, coverage=coverage, strength=s) for s in (0.02, 0.05, 0.2)
    ]
    assert found == sorted(found)
    assert found[0] > 0
