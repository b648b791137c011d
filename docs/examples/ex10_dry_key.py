"""What a closed key does: without oscillators a bare stripe, with them a shallow valley, and just as much ink missing.

One key of thirty millimetres is shut among open ones. Where nothing oscillates the print there is bare and its
neighbours do not notice. Oscillators carry ink in from both sides: the stripe fills, the neighbours get paler, and
the valley is wider than the key. What is missing from the sheet as a whole is the same: one key's worth. That is why
a light patch is not mended by its own key alone, and why opening one key by a lot colours three zones.

Closed form: the missing print, added up across, is the width of the key times the even print, whatever oscillates, as
long as the valley keeps clear of the roller ends. Source: the train is linear in the keys and the same all along, so
a key spreads its whole ink, and takes away its whole ink, about its own place.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from gallery import picture
from small_trains import chain, cut, demand_on, settled, swinging

from filmsplit.figures.axes import exact_axis, linear_axis
from filmsplit.simulation.network import Network

WIDTH_MM, KEY_MM, STROKE_MM = 360.0, 30.0, 16.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Valley:
    """Film over the film with every key open, across; and the print that is missing, as mm of an even print."""

    places_mm: tuple[float, ...]
    over_even: tuple[float, ...]
    missing_mm: float

    @property
    def lowest(self) -> float:
        return min(self.over_even)


def main() -> tuple[Valley, Valley]:
    """Four rollers fed with fixed films, without oscillation and with one of them oscillating."""
    still = chain(4, plate_mm=120.0, roller_mm=40.0, flux=True)
    moving = swinging(still, "R2", stroke_mm=STROKE_MM, cycle_rev=3.0)
    return _valley(still), _valley(moving)


def _valley(network: Network) -> Valley:
    train = cut(network, round_mm=4.0, width_mm=WIDTH_MM, across_mm=3.0)
    places = train.grid.centres_mm
    shut = np.where(abs(places - WIDTH_MM / 2) < KEY_MM / 2, 0.0, 10.0)
    prints = [settled(train, demand_on(train, 0.1, film_um=films)).sheet_um for films in (shut, 10.0)]
    dry, even = (sheet.mean(axis=0) for sheet in prints if sheet is not None)
    missing = float((1 - dry / even).sum() * train.grid.across_mm)
    return Valley(places_mm=tuple(places), over_even=tuple(map(float, dry / even)), missing_mm=missing)


def visualize(result: tuple[Valley, Valley]) -> str:
    """Both profiles across."""
    names = ("nothing oscillates", f"one roller oscillates, stroke {STROKE_MM:g} mm")
    return picture(
        "A shut key among open ones: the stripe fills, the neighbours pay",
        [
            (name, [(p, 100 * part) for p, part in zip(each.places_mm, each.over_even, strict=True)])
            for name, each in zip(names, result, strict=True)
        ],
        says="four rollers under an even tint of 10 %, a fixed film fed",
        x=exact_axis("mm from the operator's side (key shut from 165 to 195)", 0.0, WIDTH_MM),
        y=linear_axis("film on the sheet, % of an even print", 0.0, 100.0),
    )


if __name__ == "__main__":
    for words, found in zip(("Still", "Oscillating"), main(), strict=True):
        print(f"{words}: down to {found.lowest:.0%}; missing in all: {found.missing_mm:.2f} mm of print.")
