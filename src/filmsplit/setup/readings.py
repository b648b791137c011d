"""Openings as readings that can be set on this press, and what setting them to the nearest costs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.setup.key_scale import KeyScale


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyReading:
    """A key as it is set: ``reading`` in divisions, steps, or (unnumbered) turns from just closed.

    ``opening`` is what that reading is as a part of the range, and ``film_off_um`` how much more film than asked for
    the key itself makes by rounding.
    """

    zone: int
    reading: float
    opening: float
    film_off_um: float


def readings_of(openings: Array, scale: KeyScale, *, highest: float = 1.0) -> tuple[KeyReading, ...]:
    """The nearest readings that can be set, by zone, none beyond the opening ``highest``.

    A key asked to be shut is shut; no other is rounded to shut.
    """
    return tuple(_reading(zone, float(opening), scale, highest=highest) for zone, opening in enumerate(openings))


def openings_of(readings: Array, scale: KeyScale) -> Array:
    """Openings in parts of the range; a key set below its zero is shut."""
    return np.asarray(np.clip((np.asarray(readings) - np.array(scale.zeros)) / scale.ranges, 0.0, None))


def _reading(zone: int, opening: float, scale: KeyScale, *, highest: float) -> KeyReading:
    zero, divisions, step = scale.zeros[zone], float(scale.ranges[zone]), scale.settable
    exact = zero + opening * divisions
    if opening <= 0:
        return KeyReading(zone=zone + 1, reading=zero, opening=0.0, film_off_um=0.0)
    nearest = math.floor(exact / step + 0.5) * step
    least = (math.floor(zero / step + 1e-9) + 1) * step
    most = math.floor((zero + highest * divisions) / step + 1e-9) * step
    reading = max(min(nearest, most), least)
    off_um = (reading - exact) * scale.gains_um[zone]
    return KeyReading(zone=zone + 1, reading=reading, opening=(reading - zero) / divisions, film_off_um=off_um)
