"""The keys for one sweep: a fit within what keys and blade can do, through what each key does to every zone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.splitting import Array
from filmsplit.numerics.inequalities import Fitted, least_squares_within
from filmsplit.setup.limits import KeyLimits

RIDGE = 1e-6
"""Weight of a key's distance from mid-range beside the square of a print's error (both as parts).

Movements of the keys against each other that hardly show in the print are then not made; the print gives way by less
than 0.1 % for it.
"""

Numbers = NDArray[np.intp]
"""Zones by number, from 0."""

HELD = 1e-7
"""A multiplier above this holds the print back by more than rounding."""


class Reason(Enum):
    """Why a zone does not print its aim: the slug of the message that says so and what is left to do."""

    NO_IMAGE = "setup-zone-shut"
    LOWEST = "setup-key-lowest"
    HIGHEST = "setup-key-highest"
    BLADE = "setup-blade-step"
    NEIGHBOURS = "setup-ink-from-neighbours"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeyAsk:
    """What is asked of the keys, by zone from the operator's side.

    ``response[i, j]`` is the film on the sheet in zone i, um per um of film on the fountain roller in zone j.
    ``aim_um`` is the film wanted, ``weights`` the image area (0: nothing is asked), ``full_um`` the film of a key
    that is open as far as it goes.
    """

    response: Array
    aim_um: Array
    weights: Array
    full_um: Array
    limits: KeyLimits

    def __post_init__(self) -> None:
        zones = self.aim_um.size
        sizes = {self.weights.size, self.full_um.size, *self.response.shape}
        asked = self.weights > 0
        if sizes != {zones} or not np.all(self.aim_um[asked] > 0) or not np.all(self.full_um > 0):
            raise ValueError("needs one positive aim, weight and full film for each zone, and a square response")

    @property
    def open(self) -> Array:
        """Whether each key is open at all: shut beyond the sheet and where nothing is printed."""
        return np.asarray(self.weights > 0)

    @property
    def films_per_opening(self) -> Array:
        """Film on the fountain roller in each zone (row), um per key's whole range (column)."""
        return films_per_opening(self.full_um, coupling=self.limits.coupling)


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneKey:
    """One key: how far it is open (part of its range), the film that makes, and what its zone then prints.

    ``zone`` counts from 1 at the operator's side. ``aim_um`` is ``None`` where nothing is asked; ``reason`` is
    ``None`` where the aim is reached.
    """

    zone: int
    opening: float
    film_um: float
    print_um: float
    aim_um: float | None
    reason: Reason | None

    @property
    def reached(self) -> bool:
        return self.reason is None

    @property
    def off(self) -> float:
        """By what part the print is above (or, negative, below) the aim; 0 where nothing is asked."""
        return 0.0 if self.aim_um is None else self.print_um / self.aim_um - 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyPlan:
    """The keys of one sweep, the best within their limits as far as ``residual`` says (optimality left over)."""

    zones: tuple[ZoneKey, ...]
    residual: float

    @property
    def openings(self) -> Array:
        return np.array([key.opening for key in self.zones])

    @property
    def films_um(self) -> Array:
        return np.array([key.film_um for key in self.zones])

    @property
    def prints_um(self) -> Array:
        return np.array([key.print_um for key in self.zones])

    @property
    def mean_open(self) -> float:
        """Mean opening of the keys whose zones print; 0 where none does."""
        opened = [key.opening for key in self.zones if key.aim_um is not None]
        return float(np.mean(opened)) if opened else 0.0

    @property
    def unreached(self) -> tuple[ZoneKey, ...]:
        """Zones that print, but not their aim."""
        return tuple(key for key in self.zones if key.aim_um is not None and not key.reached)


def films_per_opening(full_um: Array, *, coupling: float) -> Array:
    """Film on the fountain roller in each zone (row) per whole range of each key (column), um.

    On one blade the neighbours' openings make the part ``coupling`` each; at the ends there is one neighbour.
    """
    zones = full_um.size
    beside = np.eye(zones, k=1) + np.eye(zones, k=-1)
    blade = coupling * beside + np.diag(1.0 - coupling * beside.sum(axis=1))
    return np.asarray(blade * full_um)


def fit_keys(ask: KeyAsk) -> KeyPlan:
    """The keys whose print comes nearest to the aim, zones weighted by their image, within the limits.

    A plan with no key open where nothing is printed at all. ``ValueError`` where the limits leave no setting.
    """
    asked = np.flatnonzero(ask.open)
    if asked.size == 0:
        return _plan(ask, np.zeros(ask.aim_um.size), held={}, residual=0.0)
    rows, least, kinds = _inequalities(asked, ask.limits)
    fitted = _fit(ask, asked, rows=rows, least=least)
    openings = np.zeros(ask.aim_um.size)
    openings[asked] = np.clip(fitted.x, 0.0, 1.0)
    return _plan(ask, openings, held=_held(fitted, rows, asked=asked, kinds=kinds), residual=fitted.residual)


def _fit(ask: KeyAsk, asked: Numbers, *, rows: Array, least: Array) -> Fitted:
    """Errors as parts of the aim, weighted by image, and a touch of keeping to mid-range."""
    weight = np.sqrt(ask.weights[asked] / ask.weights.sum()) / ask.aim_um[asked]
    prints = (ask.response @ ask.films_per_opening)[np.ix_(asked, asked)]
    ridge = np.sqrt(RIDGE / asked.size)
    matrix = np.vstack([weight[:, None] * prints, ridge * np.eye(asked.size)])
    target = np.concatenate([weight * ask.aim_um[asked], np.full(asked.size, ridge * ask.limits.mean_middle)])
    fitted = least_squares_within(matrix, target, rows=rows, least=least)
    if fitted is None:
        raise ValueError("no setting of the keys keeps these limits")
    return fitted


def _inequalities(asked: Numbers, limits: KeyLimits) -> tuple[Array, Array, list[Reason]]:
    """Rows, least values and kinds of ``rows @ openings >= least`` for the open keys."""
    unit = np.eye(asked.size)
    found = [(unit[i], limits.lowest, Reason.LOWEST) for i in range(asked.size)]
    found += [(-unit[i], -limits.highest, Reason.HIGHEST) for i in range(asked.size)]
    if limits.step is not None:
        for i in np.flatnonzero(np.diff(asked) == 1):
            apart = unit[i + 1] - unit[i]
            found += [(sign * apart, -limits.step, Reason.BLADE) for sign in (1.0, -1.0)]
    rows, least, kinds = zip(*found, strict=True)
    return np.array(rows), np.array(least), list(kinds)


def _held(fitted: Fitted, rows: Array, *, asked: Numbers, kinds: list[Reason]) -> dict[int, Reason]:
    """The limit that holds each key, by zone; its own end of the range goes before the blade."""
    found: dict[int, Reason] = {}
    for number in reversed(np.flatnonzero(fitted.multipliers > HELD)):
        for key in np.flatnonzero(rows[number]):
            found[int(asked[key])] = kinds[number]
    return found


def _plan(ask: KeyAsk, openings: Array, *, held: dict[int, Reason], residual: float) -> KeyPlan:
    films = ask.films_per_opening @ openings
    prints = ask.response @ films
    keys = [
        ZoneKey(
            zone=i + 1,
            opening=float(openings[i]),
            film_um=float(films[i]),
            print_um=float(prints[i]),
            aim_um=float(ask.aim_um[i]) if ask.open[i] else None,
            reason=held.get(i, Reason.NEIGHBOURS) if ask.open[i] else Reason.NO_IMAGE,
        )
        for i in range(openings.size)
    ]
    return KeyPlan(zones=tuple(_judged(keys, ask.limits)), residual=residual)


def _judged(keys: list[ZoneKey], limits: KeyLimits) -> Iterator[ZoneKey]:
    """Keys without the reasons of those that print their aim."""
    for key in keys:
        reached = key.aim_um is not None and abs(key.off) <= limits.reached
        yield replace(key, reason=None) if reached else key


def printing(plan: KeyPlan, prints_um: Array, limits: KeyLimits) -> KeyPlan:
    """The plan with what its zones really print.

    A zone that was reached by forecast and is not in truth is put down to its neighbours' ink.
    """
    keys = [
        replace(key, print_um=float(film), reason=key.reason or Reason.NEIGHBOURS)
        for key, film in zip(plan.zones, prints_um, strict=True)
    ]
    return replace(plan, zones=tuple(_judged(keys, limits)))
