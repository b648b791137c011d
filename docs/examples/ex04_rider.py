"""What does a rider do? Nothing to an even print, something to a ghost.

A rider that meets one roller and does not oscillate takes up its host's film and gives it back. Where the print is
even all round the plate nothing changes but the ink held. Where there is a gap the rider carries the film of one
place to another, so it changes the print here and there.

Closed form: with even coverage and no gap no film changes. Source: algebra of the even split.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from gallery import picture
from small_trains import chain, cut, demand_on, settled, with_rider

from filmsplit.figures.axes import exact_axis, linear_axis
from filmsplit.ink.splitting import Array
from filmsplit.simulation.network import Network

PLATE_MM, GAP_MM = 120.0, 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ridden:
    """Film with the rider over film without it, along the plate: without a gap and with one (nothing in the gap)."""

    places_mm: tuple[float, ...]
    even: tuple[float, ...]
    with_gap: tuple[float, ...]


def main() -> Ridden:
    """Three rollers on a solid, with and without a rider on the middle one."""
    plain = chain(3, plate_mm=PLATE_MM, roller_mm=37.0)
    ridden = with_rider(plain, "R3", length_mm=29.0)
    rows = round(PLATE_MM)
    gap = np.ones(rows)
    gap[rows - round(GAP_MM) :] = 0.0
    even = _films(ridden, np.ones(rows)) / _films(plain, np.ones(rows))
    image = gap > 0
    changed = _films(ridden, gap)[image] / _films(plain, gap)[image]
    return Ridden(places_mm=tuple(np.arange(rows) + 0.5), even=tuple(even), with_gap=tuple(changed))


def _films(network: Network, coverage: Array) -> Array:
    train = cut(network, round_mm=1.0)
    sheet = settled(train, demand_on(train, coverage)).sheet_um
    assert sheet is not None
    return sheet[:, 0]


def visualize(result: Ridden) -> str:
    """Change along the plate, in percent."""
    even, gap = ([100 * (ratio - 1) for ratio in ratios] for ratios in (result.even, result.with_gap))
    reach = max(map(abs, gap))
    return picture(
        "A rider leaves an even print alone, and moves ghosts about",
        [
            ("solid all round", list(zip(result.places_mm, even, strict=True))),
            (f"solid with a gap of {GAP_MM:g} mm", list(zip(result.places_mm, gap, strict=False))),
        ],
        says="film with the rider over film without it, settled",
        x=exact_axis("mm from the leading image edge", 0.0, PLATE_MM),
        y=linear_axis("change of the film by the rider, %", -reach, reach),
    )


if __name__ == "__main__":
    found = main()
    print(f"Even: at most {max(abs(r - 1) for r in found.even):.1e}.")
    print(f"With a gap: {min(found.with_gap) - 1:+.2%} to {max(found.with_gap) - 1:+.2%}.")
