"""A coarser grid of the same train, and films carried from it to the finer one.

On cells eight times as long a revolution costs an eighth. What changes slowly is smooth, so a coarser grid knows it
almost as well; the finer one then only has to put in what is fine, and that settles within a few revolutions.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand, Loaded, load
from filmsplit.simulation.ductor import conductance
from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.stops import Stop, stops_of
from filmsplit.simulation.train import Train, compile_network

FACTORS = (16, 8, 4, 2)
"""Cells are made longer by one of these, the largest that leaves what is asked for below."""

FEWEST_ROWS = 24
"""Fewer cells round the plate than this no longer show where the nips lie."""

FEWEST_CELLS = 5
"""No loop is cut into fewer cells than this."""


def coarser(mean: MeanTrain, demand: Demand) -> tuple[Train, Demand] | None:
    """The same train and demand on cells that are longer round the loops; ``None`` where they are long already.

    Columns stay as they are: the width of a column spreads films sideways, and by more than may be (3 to 15 % between
    2 and 4 mm). ``mean`` is of the train given; it says by how much the coarser ductor's feed has to be made up.
    """
    train = mean.train
    for factor in FACTORS:
        rows = round(train.grid.rows / factor)
        if rows < FEWEST_ROWS or min(loop.cells for loop in train.loops) < factor * FEWEST_CELLS:
            continue
        try:
            coarse = compile_network(train.network, replace(train.grid, rows=rows), dtype=train.dtype)
        except ValueError:
            continue  # nips or dwells fall together on these cells
        cover = np.clip(averaged(demand.coverage, rows), 0.0, 1.0)
        asked = replace(demand, coverage=cover)
        return coarse, replace(asked, films_um=_films(mean, asked, coarse=coarse))
    return None


def _films(mean: MeanTrain, asked: Demand, *, coarse: Train) -> Mapping[str, float | Array]:
    """Films on the fountain with which the coarse ductors feed as much as the fine ones do."""
    train, films = mean.train, dict(asked.films_um)
    loaded = load(coarse, asked)
    for number, feed in enumerate(train.feeds):
        carried = [
            conductance(part, given, feed=number) * part.grid.round_mm
            for part, given in ((train, mean.loaded), (coarse, loaded))
        ]
        if feed.ductor is None or carried[1] <= 0:
            continue
        returning = mean.returning(number)
        supply = mean.loaded.supplies[number]
        films[feed.id] = np.maximum(returning + carried[0] / carried[1] * (supply - returning), 0.0)
    return films


def averaged(cells: Array, count: int) -> Array:
    """Rows of cells as means over ``count`` equal parts; rows that lie in two parts count in proportion."""
    edges = np.linspace(0, cells.shape[0], count + 1)
    whole = np.minimum(edges.astype(np.int64), cells.shape[0] - 1)
    up_to = np.concatenate([np.zeros((1, cells.shape[1])), np.cumsum(cells, axis=0, dtype=np.float64)])
    sums = np.diff(up_to[whole] + (edges - whole)[:, None] * cells[whole], axis=0)
    return np.asarray(sums * count / cells.shape[0])


def carried(films: Array, *, coarse: Train, fine: Train, loaded: tuple[Loaded, Loaded]) -> Array:
    """Films of a coarse train's state put on the cells of a fine one, arc by arc; ``loaded`` is of coarse and fine."""
    found = np.zeros((fine.cells, fine.grid.columns), dtype=fine.dtype)
    before = {_name(stop): stop for stop in stops_of(coarse)}
    for stop in stops_of(fine):
        if stop.rows.size == 0:
            continue
        loop, target = coarse.loops[stop.loop], fine.loops[stop.loop]
        rows = before[_name(stop)].rows
        if rows.size == 0:  # two nips in one coarse cell
            rows = np.array([loop.offset])
        if loop.role is LoopRole.ROLLER:
            found[stop.rows] = _spread(films[rows], stop.rows.size)
            continue
        images = [_image(train, load, loop=stop.loop) for train, load in zip((coarse, fine), loaded, strict=True)]
        image = images[0][rows - loop.offset]
        weight = _spread(image, stop.rows.size)
        film = _spread(films[rows] * image, stop.rows.size) / np.where(weight > 0, weight, 1.0)
        found[stop.rows] = film * images[1][stop.rows - target.offset]
    return found


def _name(stop: Stop) -> tuple[str, int, int, int]:
    return stop.kind, stop.number, stop.side, stop.loop


def _image(train: Train, loaded: Loaded, *, loop: int) -> Array:
    """1 where plate or blanket carries image, in the order of a state's rows."""
    lead = train.blanket_lead if train.loops[loop].role is LoopRole.BLANKET else 0
    return np.roll(loaded.image, -lead, axis=0)


def _spread(rows: Array, count: int) -> Array:
    """Rows as ``count`` rows over the same length, by straight lines between their middles; the ends are held."""
    places = np.clip((np.arange(count) + 0.5) * rows.shape[0] / count - 0.5, 0, rows.shape[0] - 1)
    low = places.astype(np.int64)
    high = np.minimum(low + 1, rows.shape[0] - 1)
    part = (places - low)[:, None]
    return np.asarray(rows[low] * (1 - part) + rows[high] * part)
