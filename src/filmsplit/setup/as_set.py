"""A plate with its keys as they stand: what a correction starts from, whoever set them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.key_scale import KeyScale
from filmsplit.setup.keys import films_per_opening
from filmsplit.setup.limits import KeyLimits
from filmsplit.setup.readings import KeyReading, openings_of
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.key_response import key_responses
from filmsplit.simulation.settle import ACCURACY


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AsSet:
    """The keys of one fountain as they are read now, and what they print.

    ``response[i, j]`` is the film on the sheet in zone i, um per um of film on the fountain roller in zone j, at the
    sweep in force. ``weights`` is the image area by zone, ``aim_um`` the film wanted on it.
    """

    aim_um: float
    weights: Array
    response: Array
    scale: KeyScale
    limits: KeyLimits
    readings: tuple[KeyReading, ...]

    @property
    def openings(self) -> Array:
        """By zone, in parts of the range."""
        return np.array([each.opening for each in self.readings])

    def films_um(self, openings: Array) -> Array:
        """Film on the fountain roller in each zone for openings."""
        return np.asarray(films_per_opening(self.scale.full_um, coupling=self.limits.coupling) @ openings)


def as_set(  # noqa: PLR0913  (all but two are named)
    zoned: ZonedTrain,
    readings: Array,
    *,
    aim_um: float,
    scale: KeyScale,
    limits: KeyLimits,
    accuracy: float = ACCURACY,
) -> AsSet:
    """The keys at ``readings`` on a plate, its sweep in force. Raises what ``key_responses`` raises."""
    openings = openings_of(readings, scale)
    return AsSet(
        aim_um=aim_um,
        weights=zoned.image_mm2,
        response=key_responses(zoned.train, zoned.demand, zones=zoned.zones, feed=zoned.feed, accuracy=accuracy),
        scale=scale,
        limits=limits,
        readings=tuple(
            KeyReading(zone=number, reading=float(reading), opening=float(opening), film_off_um=0.0)
            for number, (reading, opening) in enumerate(zip(readings, openings, strict=True), start=1)
        ),
    )
