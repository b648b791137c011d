"""How far do oscillators spread ink? As far as they move: twice the stroke, twice the spread.

One narrow line of the fountain is open. Without oscillation it prints as a line. With it the ink lies about that
line, and the standard deviation of the film across the sheet, the sideways mixing length, goes with the stroke. On
this short train with one oscillating roller it is a third of the stroke. On the presses of the demo workshop, where
several oscillate and ink goes through their nips again and again, it is two to three strokes: filmsplit press compare
shows it.

Away from the roller ends nothing but the stroke has a length across, so the mixing is in proportion to it, and
exactly 0 without. Source: dimensions; without oscillation columns across do not meet.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from gallery import picture
from small_trains import chain, swinging

from filmsplit.figures.axes import linear_axis
from filmsplit.simulation.from_press import INK_FEED
from filmsplit.studies.mixing import mixing_figure
from filmsplit.studies.standard_job import Cells, Subject

STROKES_MM = (0.0, 4.0, 8.0, 16.0, 24.0)
PLATE_MM, WIDTH_MM = 120.0, 401.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Sideways mixing length for one stroke."""

    stroke_mm: float
    mixing_mm: float


def main() -> tuple[Spread, ...]:
    """Three rollers, the middle one oscillating."""
    return tuple(_spread(stroke_mm) for stroke_mm in STROKES_MM)


def _spread(stroke_mm: float) -> Spread:
    train = swinging(chain(3, plate_mm=PLATE_MM, roller_mm=40.0), "R2", stroke_mm=stroke_mm, cycle_rev=3.0)
    train = replace(train, feeds=tuple(replace(feed, id=INK_FEED) for feed in train.feeds))
    asked = Subject(
        network=train, width_mm=WIDTH_MM, sheet_mm=(PLATE_MM, WIDTH_MM), sweep_mm=None, cells=Cells(across_mm=1.0)
    )
    found = mixing_figure(asked).value
    assert found is not None
    return Spread(stroke_mm=stroke_mm, mixing_mm=found)


def visualize(result: tuple[Spread, ...]) -> str:
    """Mixing against stroke."""
    return picture(
        "Twice the stroke spreads ink twice as far",
        [("", [(each.stroke_mm, each.mixing_mm) for each in result])],
        says="one narrow line of the fountain is open; standard deviation of the film across the sheet",
        x=linear_axis("stroke of the oscillating roller, mm", 0.0, max(STROKES_MM)),
        y=linear_axis("sideways mixing length, mm", 0.0, max(each.mixing_mm for each in result)),
    )


if __name__ == "__main__":
    for found in main():
        print(f"Stroke {found.stroke_mm:g} mm: {found.mixing_mm:.2f} mm.")
