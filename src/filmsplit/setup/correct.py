"""From one measured sheet to the moves of the keys, in the press's own readings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.density import DensityCurve, amount_for_density
from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem, Refusal
from filmsplit.numerics.inequalities import least_squares_within
from filmsplit.setup.aim import density_of
from filmsplit.setup.as_set import AsSet
from filmsplit.setup.first_sheet import Spread
from filmsplit.setup.keys import RIDGE, films_per_opening
from filmsplit.setup.readings import KeyReading, readings_of

Flags = NDArray[np.bool_]
"""Yes or no by zone."""

READING_ERROR = 0.02
"""Densities of one patch read again differ by about this (common practice)."""

MOST_MOVE = 0.30
"""A key is moved by this part of its range at most on the word of one sheet (memory)."""

HELD = 1e-7
"""A multiplier above this holds a key back by more than rounding."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """Solid densities net of paper by zone, not a number where none was read, and the ink's constants per um.

    ``reading_error`` is one standard deviation of a reading.
    """

    densities: Array
    curve: DensityCurve
    reading_error: float = READING_ERROR

    @property
    def films_um(self) -> Array:
        """Films by zone, infinite where a reading is beyond what the ink can read."""
        return amount_for_density(self.densities, saturation=self.curve.saturation, rate=self.curve.rate)

    @property
    def errors_um(self) -> Array:
        """The reading error as film, at each film read."""
        slope = self.curve.rate * (self.curve.saturation - self.densities)
        return np.asarray(self.reading_error / slope)


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A key from one reading to another; ``zone`` counts from 1. ``limited``: it would have gone farther."""

    zone: int
    before: float
    after: float
    limited: bool

    @property
    def by(self) -> float:
        return self.after - self.before


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Correction:
    """The moves, the readings of all keys after them, the films those are taken for and the print to be expected."""

    moves: tuple[Move, ...]
    readings: tuple[KeyReading, ...]
    films_um: Array
    expected_um: Array
    expected_densities: Array
    notes: tuple[Problem, ...]


def correct(
    keys: AsSet, measured: Measured, *, spread: Spread | None = None, most_move: float = MOST_MOVE
) -> Correction:
    """The moves that bring the print nearest to the aim, from the most probable reason why it is off.

    First the print is explained: by the press as a whole, by each key's gain and by its zero, as far as each is likely
    to be off (``spread``) and no farther than the readings are sure. Then the keys are fitted with that, within the
    limits of keys and blade. A key whose zone is within its reading error of the aim, or was not read, stays.
    :class:`Refusal` where a density cannot be.
    """
    _check(keys, measured)
    now = keys.openings
    per_opening = keys.response @ films_per_opening(keys.scale.full_um, coupling=keys.limits.coupling)
    gains, zeros = _explained(keys, measured, spread=spread or Spread(), now=now, per_opening=per_opening)
    moving = _moving(keys, measured) & (now > 0)
    truly = per_opening * gains
    room = _room(keys, now, moving=moving, most_move=most_move)
    wanted, limited = _fitted(keys, truly, offset=per_opening @ zeros, now=now, room=room)
    nearest = readings_of(wanted, keys.scale, highest=keys.limits.highest)
    readings = tuple(new if moves else old for moves, new, old in zip(moving, nearest, keys.readings, strict=True))
    after = np.array([each.opening for each in readings])
    expected = truly @ after + per_opening @ zeros
    moves = tuple(_moves(keys, readings, limited=limited & moving))
    return Correction(
        moves=moves,
        readings=readings,
        films_um=keys.films_um(after),
        expected_um=expected,
        expected_densities=np.array([density_of(float(film), measured.curve) for film in expected]),
        notes=tuple(_notes(moves, measured)),
    )


def _check(keys: AsSet, measured: Measured) -> None:
    """Densities that no print of this ink reads are refused, all together."""
    if measured.densities.shape != keys.weights.shape or measured.reading_error <= 0:
        raise ValueError("needs one density, or not a number, for each zone, and a reading error above 0")
    beyond = (measured.densities < 0) | (measured.densities >= measured.curve.saturation)
    if beyond.any():
        zones = ", ".join(str(zone + 1) for zone in np.flatnonzero(beyond))
        raise Refusal(Problem("setup-reading-beyond", {"zones": zones, "saturation": measured.curve.saturation}))


def _moving(keys: AsSet, measured: Measured) -> Flags:
    """Zones read whose density is off the aim by more than the reading error."""
    off = np.abs(measured.densities - density_of(keys.aim_um, measured.curve))
    return np.asarray(np.nan_to_num(off) > measured.reading_error, dtype=np.bool_)


def _explained(
    keys: AsSet, measured: Measured, *, spread: Spread, now: Array, per_opening: Array
) -> tuple[Array, Array]:
    """The most probable gain of each key (1: as thought) and film of its zero, as an opening of the key.

    Unknowns in deviations: the press, each key's gain, each key's zero.
    """
    read = np.flatnonzero(~np.isnan(measured.densities))
    zero = np.where(now > 0, spread.zero_divisions / keys.scale.ranges, 0.0)
    sizes = np.concatenate([[spread.press], np.full(now.size, spread.gain), zero])
    forecast = per_opening @ now
    effects = np.hstack([forecast[:, None], per_opening * now, per_opening]) * sizes
    error = measured.errors_um[read]
    matrix = np.vstack([effects[read] / error[:, None], np.eye(sizes.size)])
    target = np.concatenate([(measured.films_um - forecast)[read] / error, np.zeros(sizes.size)])
    found = np.linalg.lstsq(matrix, target)[0] * sizes
    return 1.0 + found[0] + found[1 : now.size + 1], found[now.size + 1 :]


def _room(keys: AsSet, now: Array, *, moving: Flags, most_move: float) -> tuple[Array, Array]:
    """How far each key may go down and up from where it is: not at all where it does not move."""
    low = np.clip(keys.limits.lowest - now, -most_move, 0.0)
    high = np.clip(keys.limits.highest - now, 0.0, most_move)
    return np.where(moving, low, 0.0), np.where(moving, high, 0.0)


def _fitted(
    keys: AsSet, per_opening: Array, *, offset: Array, now: Array, room: tuple[Array, Array]
) -> tuple[Array, Flags]:
    """Openings that print nearest to the aim, zones weighted by their image, and which keys a limit held."""
    wide = np.sqrt(keys.weights / max(float(keys.weights.sum()), 1e-300)) / keys.aim_um
    matrix = np.vstack([wide[:, None] * per_opening, np.sqrt(RIDGE / now.size) * np.eye(now.size)])
    lacking = wide * (keys.aim_um - per_opening @ now - offset)
    unit = np.eye(now.size)
    rows, least = np.vstack([unit, -unit]), np.concatenate([room[0], -room[1]])
    steps, step_least = _steps(keys, now)
    fitted = least_squares_within(
        matrix,
        np.concatenate([lacking, np.zeros(now.size)]),
        rows=np.vstack([rows, steps]),
        least=np.concatenate([least, step_least]),
    )
    assert fitted is not None  # staying put is always within the room
    held = fitted.multipliers[: 2 * now.size].reshape(2, now.size).max(axis=0) > HELD
    return now + fitted.x, held


def _steps(keys: AsSet, now: Array) -> tuple[Array, Array]:
    """Open neighbours on one blade come no farther apart than its step, or than they are."""
    step, unit = keys.limits.step, np.eye(now.size)
    pairs = [i for i in range(now.size - 1) if step is not None and now[i] > 0 and now[i + 1] > 0]
    apart = np.array([unit[i + 1] - unit[i] for i in pairs]).reshape(-1, now.size)
    farthest = np.maximum(step or 0.0, np.abs(apart @ now))
    return np.vstack([apart, -apart]), np.concatenate([-farthest - apart @ now, -farthest + apart @ now])


def _moves(keys: AsSet, readings: tuple[KeyReading, ...], *, limited: Flags) -> Iterator[Move]:
    """Keys that end at another reading."""
    for old, new in zip(keys.readings, readings, strict=True):
        if abs(new.reading - old.reading) > 1e-9:
            yield Move(zone=old.zone, before=old.reading, after=new.reading, limited=bool(limited[old.zone - 1]))


def _notes(moves: tuple[Move, ...], measured: Measured) -> Iterator[Problem]:
    """What to know about the moves."""
    if not moves:
        yield Problem("setup-nothing-to-move", {"reading_error": measured.reading_error})
    limited = [str(move.zone) for move in moves if move.limited]
    if limited:
        yield Problem("setup-moves-limited", {"zones": ", ".join(limited)})
    unread = [str(zone + 1) for zone in np.flatnonzero(np.isnan(measured.densities))]
    if unread:
        yield Problem("setup-zones-unread", {"zones": ", ".join(unread)})
