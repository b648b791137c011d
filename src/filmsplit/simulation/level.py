"""Passes over one grid: march a common period, correct by the mean films, mix with the passes before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.numerics.anderson import Anderson
from filmsplit.simulation.demand import Demand, Loaded, load
from filmsplit.simulation.march import Marched, march
from filmsplit.simulation.mean import MeanTrain
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.state import State
from filmsplit.simulation.train import Train

SAFETY = 2.0
"""The correction still asked for is doubled: measured, the error was 0.4 to 1.6 times it."""

SAFETY_IF_SHORT = 5.0
"""The same for a short period, which shows less of what is left: with a form roller thrown off the error was up to 4.1
times the correction."""

OF_THE_CHANGE = 0.1
"""Part of the change over the period that counts as well, before it is doubled: what fades early in the period is
still in the mean print of it."""

ROLLERS_TO_SHEET = 10.0
"""A roller's column may still change by this many times the accuracy in a period: several nips lie before the sheet."""

SLOWEST = 0.95
"""A column that shrinks less than to this part from pass to pass is reckoned to shrink to it."""

WATCH_FROM = 50.0
"""Films passing are summed once the error is within this many times the accuracy: the last pass must be watched."""

MEMORY = 2
"""Passes mixed with the present one; one more where the period is short, because more passes are then needed."""

LONG = 4
"""Revolutions from which on a period is long."""

SHOWS = 8
"""Revolutions from which on one period shows by itself what the train forgets slowly; a shorter one is followed."""

SLOWEST_PLAIN = 0.98
"""A column that shrinks less than to this part from one plain period to the next is reckoned to shrink to it."""

TINY = 1e-300
"""Keeps a division by a film that is not there finite."""

TRIES = 12
"""Times the share that the sheet takes is looked up for the mean films, where it depends on the film."""


@dataclass(frozen=True, slots=True, eq=False)
class Pass:
    """One period marched, the estimate of the error left in its print, and the correction that the mean films ask for
    on the blanket (kept where a period is short enough to be followed)."""

    marched: Marched
    error: float
    asked: Array

    @property
    def fed_less_printed(self) -> float:
        """Ink fed less ink printed, over the larger; 0 where that is only the rounding of what is stored."""
        fed, printed = self.marched.fed_um_mm2, self.marched.printed_um_mm2
        gap = abs(fed - printed)
        rounding = float(np.finfo(self.marched.state.films.dtype).eps) * self.marched.stored_after_um_mm2
        return gap / max(abs(fed), printed) if gap > rounding else 0.0


@dataclass(eq=False)
class Level:
    """One train on one grid; a period begins ``base`` revolutions after travel 0."""

    train: Train
    demand: Demand
    revolutions: int
    base: int = 0
    _left: Array | None = field(default=None, init=False)

    @property
    def step(self) -> int:
        return self.base * self.train.grid.rows

    @cached_property
    def loaded(self) -> Loaded:
        return load(self.train, self.demand)

    @cached_property
    def mean(self) -> MeanTrain:
        """Settled mean films; where the share on the sheet depends on the film, with the share they bring about."""
        mean = MeanTrain(self.train, self.loaded, step=self.step)
        for _ in range(0 if self.loaded.transfer.is_linear else TRIES):
            guess = mean.print_um if mean.blanket_um is None else (mean.print_um + mean.blanket_um) / 2
            mean = MeanTrain(self.train, self.loaded, step=self.step, blanket_um=guess)
        return mean

    @cached_property
    def _changes(self) -> MeanTrain:
        """Mean films of small changes."""
        if self.loaded.transfer.is_linear:
            return self.mean
        settled = self.mean.print_um
        return MeanTrain(self.train, self.loaded, step=self.step, blanket_um=settled, tangent=True)

    def passes(self, films: Array, *, accuracy: float, watch: bool) -> Iterator[Pass]:
        """Pass after pass from ``films``, without end; watched from the first on or once the error is small."""
        mixer = Anderson(memory=MEMORY if self.revolutions >= LONG else MEMORY + 1)
        error = np.inf
        while True:
            marched = self._march(films, watch=watch or error < WATCH_FROM * accuracy)
            change = marched.state.films - films
            step = self._corrected(change)
            error = self._error(marched, correction=step, change=change)
            asked = self._on_blanket(step) if self.revolutions < SHOWS else np.zeros((1, 1))
            step += change
            del change
            yield Pass(marched, error, asked)
            del marched
            films = self.mean.masked(mixer.next(films, step))
            del step

    def followed(self, done: Pass) -> Pass:
        """Two more periods without any correction, and the error that the pace of what nobody foresaw leaves.

        The correction asked for before a period, less that asked for after it, should be what the period changed. What
        it is not, the mean films do not see: ink reached only by a nip which hardly changes it (on an end of a roller
        that no inked face meets) fades by a few percent a period. Two plain periods show its pace: a column whose
        unforeseen change shrinks to the part r has r / (1 - r) of it yet to come. That is doubled as well.
        """
        first = self._march(done.marched.state.films, watch=False)
        change = first.state.films - done.marched.state.films
        asked = self._on_blanket(self._corrected(change))
        before = self._most(self._on_blanket(change) - (done.asked - asked))
        second = self._march(first.state.films, watch=True)
        change = second.state.films - first.state.films
        correction = self._corrected(change)
        after = self._most(self._on_blanket(change) - (asked - self._on_blanket(correction)))
        kept = np.divide(after, before, out=np.zeros_like(after), where=before > 0)
        kept = np.minimum(kept, SLOWEST_PLAIN)
        left = SAFETY * float((after * kept / (1.0 - kept)).max(initial=0.0)) / max(self._image_mean(second), TINY)
        error = self._error(second, correction=correction, change=change)
        return Pass(second, max(error, left), self._on_blanket(correction))

    def _corrected(self, change: Array) -> Array:
        return self._changes.correction(change, steps=self.revolutions * self.train.grid.rows)

    def _march(self, films: Array, *, watch: bool) -> Marched:
        return march(self.train, self.demand, state=State(self.step, films), revolutions=self.revolutions, watch=watch)

    @cached_property
    def _blanket(self) -> tuple[Any, Any] | None:
        """Rows of the blanket, and where its image is; ``None`` for a train without one."""
        loop = self.train.loops[self.train.role_index(LoopRole.BLANKET) or 0]
        image = np.roll(self.loaded.image, -self.train.blanket_lead, axis=0) > 0
        return (loop.rows, image) if loop.role is LoopRole.BLANKET else None

    def _on_blanket(self, films: Array) -> Array:
        """The blanket's rows, 0 where it has no image."""
        if self._blanket is None:
            return np.zeros((1, films.shape[1]))
        rows, image = self._blanket
        return np.asarray(np.where(image, films[rows], 0.0), dtype=np.float64)

    @staticmethod
    def _most(films: Array) -> Array:
        """Largest in each column."""
        return np.asarray(np.abs(films).max(axis=0, initial=0.0))

    def _image_mean(self, marched: Marched) -> float:
        if self._blanket is None:
            return 0.0
        rows, image = self._blanket
        return float(np.mean(marched.state.films[rows], where=image, dtype=np.float64)) if image.any() else 0.0

    def _error(self, marched: Marched, *, correction: Array, change: Array) -> float:
        """Estimate of the error left on the sheet: what the blanket's image cells would still be corrected by."""
        loop = self.train.loops[self.train.role_index(LoopRole.BLANKET) or 0]
        image = np.roll(self.loaded.image, -self.train.blanket_lead, axis=0) > 0
        films = marched.state.films[loop.rows]
        if loop.role is not LoopRole.BLANKET or not films[image].any():
            whole = marched.state.films
            return float(np.abs(change).max(initial=0.0) / max(np.abs(whole).max(initial=0.0), 1e-300))
        left = np.abs(correction[loop.rows]).max(axis=0, where=image, initial=0.0)
        left += OF_THE_CHANGE * np.abs(change[loop.rows]).max(axis=0, where=image, initial=0.0)
        error = float((self._allowance(left) * left).max() / films[image].mean(dtype=np.float64))
        self._left = left
        return max(error, self._unrest(marched, change) / ROLLERS_TO_SHEET)

    def _unrest(self, marched: Marched, change: Array) -> float:
        """Largest change of a roller's mean film in any column over the period, as part of its mean film.

        A roller's end that hardly ever meets its partner changes slowly for long, and the sheet shows it late.
        """
        found = [0.0]
        for loop in self.train.loops:
            mean = float(marched.state.films[loop.rows].mean(dtype=np.float64))
            if loop.role is LoopRole.ROLLER and mean > 0:
                found.append(float(np.abs(change[loop.rows].mean(axis=0, dtype=np.float64)).max()) / mean)
        return max(found)

    def _allowance(self, columns: Array) -> Array:
        """What the estimate is multiplied by, column by column: more where the last pass hardly made it smaller.

        If every pass leaves the part r, all passes to come add up to 1 / (1 - r) of the present one.
        """
        least = SAFETY if self.revolutions >= LONG else SAFETY_IF_SHORT
        if self._left is None:
            return np.full(columns.shape, least)
        slow = np.divide(columns, self._left, out=np.zeros_like(columns), where=self._left > 0)
        slow = np.minimum(slow, SLOWEST)
        return np.asarray(np.maximum(least, 1.0 / (1.0 - slow)))
