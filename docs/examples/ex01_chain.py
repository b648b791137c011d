"""A row of rollers: every nip further from the sheet holds more ink.

With an even split the sheet takes half of what the blanket brings. For a print of q the blanket brings 2q, the nip of
plate and blanket holds 4q, that of form roller and plate 6q, and each one further up 2q more. Half of it leaves on
each side, so the films run q, 2q, 3q, 4q, 5q: a thick film at the ductor is what a thin print needs.

Closed form: the nth film from the sheet is n q. Source: algebra of the even split, ink in = ink out at every nip.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from gallery import picture
from small_trains import chain

from filmsplit.figures.axes import exact_axis, linear_axis
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.grid import grid_of
from filmsplit.simulation.march import march
from filmsplit.simulation.state import empty
from filmsplit.simulation.train import compile_network


@dataclass(frozen=True, slots=True, kw_only=True)
class Films:
    """Film leaving each nip over the film on the sheet, from the sheet up."""

    sheet_um: float
    over_sheet: tuple[float, ...]


def main() -> Films:
    """Three rollers on a solid, marched until nothing moves."""
    network = chain(3)
    train = compile_network(network, grid_of(60.0, 1.0, round_mm=2.0, across_mm=1.0))
    demand = Demand(coverage=np.ones((30, 1)), films_um={"feed": 10.0})
    before = march(train, demand, state=empty(train), revolutions=400)
    done = march(train, demand, state=before.state, revolutions=1, watch=True)
    if done.passing is None:
        raise ValueError("nothing was watched")
    q = float(done.sheet_means_um[0])
    weight = done.passing.weight.sum(axis=2)
    leaving = [float(done.passing.leaving[i, 0].sum() / weight[i, 0]) for i in range(len(train.nips))]
    return Films(sheet_um=q, over_sheet=(1.0, *(film / q for film in reversed(leaving))))


def visualize(result: Films) -> str:
    """Film against the number of the nip."""
    points = [(float(n), film) for n, film in enumerate(result.over_sheet, start=1)]
    return picture(
        "Each nip further from the sheet carries one print more",
        [("", points)],
        says="three rollers in a row on a solid, every nip splitting evenly",
        x=exact_axis("nip, counted from the sheet up", 1.0, 5.0, most=4),
        y=linear_axis("film leaving the nip / film on the sheet", 0.0, 5.0),
    )


if __name__ == "__main__":
    found = main()
    print(f"The sheet takes {found.sheet_um:.2f} µm. From the sheet up, the films leaving the nips are")
    print(", ".join(f"{film:.2f}" for film in found.over_sheet), "times that.")
