"""Start-up: light forms answer slowly, heavy forms quickly.

The rollers hold about the same ink whatever is printed, but a light form takes it away a little at a time. So a clean
train needs many more sheets before a light form has its colour, and a touch on the keys shows later.

Closed form, a feed that gives a fixed film: the sum over all sheets of (1 - film / settled film) is the ink stored
over the ink printed per sheet, exactly. Source: conservation of ink (what was fed and not printed is on the rollers).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from gallery import picture
from small_trains import chain

from filmsplit.figures.axes import linear_axis
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import compile_network

COVERAGES = (1.0, 0.2)


@dataclass(frozen=True, slots=True, kw_only=True)
class StartUp:
    """One coverage: print over settled print, sheet by sheet, and the first sheets at 63 % and 95 %."""

    coverage: float
    course: tuple[float, ...]
    sheets_63: int
    sheets_95: int
    missing: float
    stored_over_printed: float


def main() -> tuple[StartUp, ...]:
    """Three rollers from empty, on a solid and on a light tint."""
    return tuple(_start(cover) for cover in COVERAGES)


def _start(cover: float) -> StartUp:
    train = compile_network(chain(3, flux=True), grid_of(60.0, 1.0, round_mm=2.0, across_mm=1.0))
    demand = Demand(coverage=np.full((30, 1), cover), films_um={"feed": cover})
    done = march(train, demand, state=empty(train), revolutions=500)
    course = done.sheet_means_um / done.sheet_means_um[-1]
    return StartUp(
        coverage=cover,
        course=tuple(float(part) for part in course[:100]),
        sheets_63=int(np.argmax(course >= 0.63)) + 1,
        sheets_95=int(np.argmax(course >= 0.95)) + 1,
        missing=float((1 - course).sum()),
        stored_over_printed=done.stored_after_um_mm2 / float(done.printed[-1].sum() * done.cell_mm2),
    )


def visualize(result: tuple[StartUp, ...]) -> str:
    """Both courses over the sheets."""
    lines = [(f"coverage {r.coverage:.0%}", list(enumerate(r.course, start=1))) for r in result]
    return picture(
        "From empty rollers: the light form takes longer",
        [(name, [(float(n), part) for n, part in points]) for name, points in lines],
        says="three rollers from empty, a fixed film fed",
        x=linear_axis("sheet", 0.0, 100.0),
        y=linear_axis("film on the sheet / settled film", 0.0, 1.0),
    )


if __name__ == "__main__":
    for found in main():
        print(f"Coverage {found.coverage:.0%}: {found.sheets_63} sheets to 63 %, {found.sheets_95} to 95 %.")
