"""Travel along a way, against arcs worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from filmsplit.press.paths import paths_of
from filmsplit.press.travel import travel_mm
from filmsplit.press.words import Role, System, TurnSense
from press_facts.built import roller, rolls, unit
from trains import point

# Plate in the middle, radius 86.5, clockwise. A drum (60) straight left of a form roller (50) left of the plate, fed
# from straight above by a roller that slips: every nip is a quarter or half turn from the last.
FORM = roller("F1", Role.FORM, centre=point((-111.5, 0)))
DRUM = roller("D1", Role.DRUM, mm=60.0, cover=None, centre=point((-166.5, 0)))
ABOVE = roller("IF", Role.FOUNTAIN, mm=60.0, cover=None, centre=point((-166.5, 60.0)))


@pytest.mark.parametrize(
    ("turns", "drum_part"),
    # The drum turns like the plate: clockwise, the film goes from twelve to three o'clock, a quarter of a turn;
    # anticlockwise the long way, three quarters. The form roller hands it on half a turn later either way.
    [(TurnSense.CLOCKWISE, 0.25), (TurnSense.ANTICLOCKWISE, 0.75)],
)
def test_travel_by_hand(turns: TurnSense, drum_part: float) -> None:
    there = unit(turns=turns)
    there = replace(there, rollers=(FORM, DRUM, ABOVE), contacts=tuple(rolls("IF/D1", "D1/F1", "F1/plate")))
    (path,) = paths_of(there, System.INK).paths
    assert travel_mm(there, path) == pytest.approx(drum_part * math.pi * 60 + 0.5 * math.pi * 50)


def test_without_a_survey_there_is_no_travel() -> None:
    there = unit()
    lost = replace(there, rollers=(replace(FORM, centre=None), DRUM, ABOVE))
    lost = replace(lost, contacts=tuple(rolls("IF/D1", "D1/F1", "F1/plate")))
    (path,) = paths_of(lost, System.INK).paths
    assert travel_mm(lost, path) is None
