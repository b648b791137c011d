"""A setting on cells, as the train under its keys that settings, corrections and learning start from."""

from __future__ import annotations

from filmsplit.setup.zones import ZonedTrain, zone_columns
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.train import Train
from filmsplit.studies.film_cells import prepare
from filmsplit.studies.film_setting import FilmSetting


def zoned_train(setting: FilmSetting, *, most_cells: int | None = None) -> ZonedTrain:
    """The train with the plate on it and nothing in its keys; :class:`Refusal` as ``prepare``, which see."""
    prepared = prepare(setting, most_cells=most_cells)
    return zoned_on(setting, prepared.train, demand=prepared.demand)


def zoned_on(setting: FilmSetting, train: Train, *, demand: Demand) -> ZonedTrain:
    """A train already cut into cells, with the columns of the setting's ink zones."""
    return ZonedTrain(train=train, demand=demand, zones=zone_columns(setting.zone_edges_mm, train.grid))
