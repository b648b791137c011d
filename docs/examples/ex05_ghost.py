"""The ghost of a bar: where nothing was taken the roller comes back fuller, and prints it one turn on.

A solid with a bare strip. The form roller keeps its ink over the strip; one circumference on, that place meets the
plate and the print is an eighth darker, then three eighths of that, and so on. On the first sheet it is only half as
strong: plate and blanket still carry what was there before.

Closed form for one form roller fed by a held film: 12.5 % one turn on, then x 3/8; on the first sheet 6.25 %. Source:
algebra of the even split; that the ghost repeats by the form roller's circumference: handbooks (memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from gallery import picture
from small_trains import chain, cut, demand_on, settled

from filmsplit.figures.axes import exact_axis, linear_axis
from filmsplit.ink.splitting import Array
from filmsplit.simulation.march import march

TURN_MM, STRIP_MM = 188.5, 20.0
"""A form roller of 60 mm, and the bare strip at the lead edge."""

PLATE_MM = 6.5 * TURN_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class Ghost:
    """Film over the median of the solid, less 1, along the plate: first sheet and settled. Bare: not a number."""

    places_mm: tuple[float, ...]
    first_sheet: tuple[float, ...]
    settled: tuple[float, ...]

    def after(self, turns: int, *, first: bool = False) -> float:
        """Strength in the middle of the repeat so many turns on."""
        course = self.first_sheet if first else self.settled
        return float(np.interp(turns * TURN_MM + STRIP_MM / 2, self.places_mm, course))


def main() -> Ghost:
    """One form roller, fed by a held film."""
    train = cut(chain(1, plate_mm=PLATE_MM, roller_mm=TURN_MM), round_mm=0.5)
    barred = np.ones(train.grid.rows)
    barred[: train.grid.cells(STRIP_MM)] = 0.0
    before = settled(train, demand_on(train, 1.0)).state
    assert before is not None
    first = march(train, demand_on(train, barred), state=before, revolutions=2)  # the blanket brings it a turn later
    last = settled(train, demand_on(train, barred)).sheet_um
    assert last is not None
    return Ghost(
        places_mm=tuple((np.arange(train.grid.rows) + 0.5) * train.grid.round_mm),
        first_sheet=_strength(first.sheet_um[:, 0], barred),
        settled=_strength(last[:, 0], barred),
    )


def _strength(film: Array, coverage: Array) -> tuple[float, ...]:
    over = film / np.median(film[coverage > 0]) - 1
    return tuple(float(part) for part in np.where(coverage > 0, over, np.nan))


def visualize(result: Ghost) -> str:
    """Three turns of the form roller."""
    lines = (("first sheet with the bar", result.first_sheet), ("settled", result.settled))
    end = 3.5 * TURN_MM
    return picture(
        "A bare bar prints darker one form-roller turn on",
        [
            (name, [(p, 100 * part) for p, part in zip(result.places_mm, course, strict=True) if p < end])
            for name, course in reversed(lines)
        ],
        says="one form roller of 60 mm on a solid, fed by a held film",
        x=exact_axis("mm from the leading image edge (the bar ends at 20)", 0.0, end),
        y=linear_axis("film over the median of the solid, %", 0.0, 14.0),
    )


if __name__ == "__main__":
    found = main()
    print(f"First sheet: {found.after(1, first=True):.2%}. Settled: {found.after(1):.2%}, then {found.after(2):.2%}.")
