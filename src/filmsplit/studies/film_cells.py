"""A setting cut into cells: prepared once, then solved as often as wanted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem, Refusal
from filmsplit.simulation.demand import PRINTING, Demand, Running
from filmsplit.simulation.from_press import INK_FEED
from filmsplit.simulation.grid import Grid, automatic_grid, grid_of
from filmsplit.simulation.train import Train, compile_network
from filmsplit.studies.film_question import Zoned
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.on_cells import coverage_on, stepped, whole_cells

MOST_CELLS = 20_000_000
"""More cells than this need gigabytes and minutes; they are refused."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prepared:
    """A setting on cells. ``demand`` is the press printing, with nothing in the keys."""

    setting: FilmSetting
    train: Train
    demand: Demand

    def keyed(self, films_um: Zoned | Array) -> Demand:
        """The demand with the keys set: one film, or one for each zone."""
        return replace(self.demand, films_um={INK_FEED: self.key_profile(films_um)})

    def key_profile(self, films_um: Zoned | Array) -> Array | float:
        """Key films by column: a column on the edge of two zones gets the mean over its width."""
        if isinstance(films_um, int | float):
            return float(films_um)
        edges, grid = np.array(self.setting.zone_edges_mm), self.train.grid
        steps = np.stack([np.asarray(films_um, dtype=np.float64), np.ones(len(edges) - 1)])
        ink, inside = stepped(edges, steps, cell_mm=grid.across_mm, cells=grid.columns)
        return np.asarray(np.divide(ink, inside, out=np.zeros(ink.shape), where=inside > 0))

    def running(self, demand: Demand) -> Demand:
        """The demand in the mode asked for."""
        mode = self.setting.question.mode.running
        thrown_off = self.setting.question.thrown_off
        return replace(demand, running=Running(sheets=mode.sheets, forms=mode.forms, thrown_off=thrown_off))


def prepare(setting: FilmSetting, *, most_cells: int | None = None) -> Prepared:
    """Cut the train into cells; :class:`Refusal` where the cells asked for cannot be.

    ``most_cells`` makes a coarser grid of no more cells than that, whatever size was asked for.
    """
    grid = _coarser(_grid(setting), setting, most_cells) if most_cells else _grid(setting)
    try:
        train = compile_network(setting.network, grid)
    except ValueError as error:
        values = {"unit": setting.unit.id, "round_mm": grid.round_mm}
        raise Refusal(Problem("film-cells-too-coarse", values)) from error
    sheet, (down, across) = setting.sheet, setting.coverage_edges_mm
    demand = Demand(
        coverage=coverage_on(grid, setting.coverage, down_mm=down, across_mm=across + sheet.first_mm),
        sweeps_mm={} if setting.sweep_mm is None else {INK_FEED: setting.sweep_mm},
        transfer=setting.transfer,
        running=replace(PRINTING, thrown_off=setting.question.thrown_off),
        sheet_round_mm=whole_cells((0.0, sheet.length_mm), grid.round_mm),
        sheet_across_mm=whole_cells((sheet.first_mm, sheet.end_mm), grid.across_mm),
    )
    return Prepared(setting=setting, train=train, demand=demand)


def _grid(setting: FilmSetting) -> Grid:
    """The grid asked for or chosen; refused where it has too many cells."""
    edges = setting.zone_edges_mm
    grid = automatic_grid(
        setting.network,
        width_mm=setting.width_mm,
        gap_mm=setting.unit.cylinders.plate.gap_mm or None,
        zone_mm=min(b - a for a, b in pairwise(edges)),
        round_mm=setting.question.round_mm,
        across_mm=setting.question.across_mm,
    )
    cells = cells_of(setting, grid)
    if cells > MOST_CELLS:
        values = {"unit": setting.unit.id, "cells": cells, "most": MOST_CELLS}
        raise Refusal(Problem("film-cells-too-many", values))
    return grid


def cells_of(setting: FilmSetting, grid: Grid) -> int:
    """Cells of all loops together, as nearly as lengths tell."""
    return round(sum(loop.length_mm for loop in setting.network.loops) / grid.round_mm) * grid.columns


def _coarser(grid: Grid, setting: FilmSetting, most_cells: int) -> Grid:
    """Cells larger by the same factor both ways."""
    factor = max(1.0, cells_of(setting, grid) / most_cells) ** 0.5
    sizes = {"round_mm": grid.round_mm * factor, "across_mm": grid.across_mm * factor}
    return grid_of(grid.plate_mm, grid.width_mm, **sizes)
