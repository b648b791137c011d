"""Zones that take so little ink that it grows old on the rollers, and the take-off bar that mends it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.splitting import Array
from filmsplit.messages import Problem
from filmsplit.setup.zones import ZonedTrain
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.settle import ACCURACY, settle
from filmsplit.simulation.solution import Solution

Rows = NDArray[np.int64]
"""Plate rows by zone."""

MOST_TURNS = 500.0
"""Turns of the plate that ink may stay on the rollers: at 5 000 sheets an hour six minutes. Then it loses solvent and
takes up water (invented default: nobody published a number for small presses)."""

MOST_ROUNDS = 6
"""A bar is made longer and settled anew so often at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """How long ink stays in a zone, in turns of the plate: what the rollers hold there over what a sheet takes there.

    Infinite where there is ink and nothing takes it.
    """

    zone: int
    turns: float
    stored_um_mm2: float
    printed_um_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOffBar:
    """A solid bar across one zone: ``length_mm`` in the direction of travel. ``turns`` is the stay with all bars on."""

    zone: int
    width_mm: float
    length_mm: float
    turns: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BarPlan:
    """The bars, the zones with them on, and whether the stay is then short enough everywhere."""

    bars: tuple[TakeOffBar, ...]
    zoned: ZonedTrain
    enough: bool
    notes: tuple[Problem, ...]


def stays(zoned: ZonedTrain, solution: Solution) -> tuple[Stay, ...]:
    """How long ink stays, by zone, from the settled films of all rollers and the settled print.

    Ink that oscillators carry sideways is counted where it lies. ``ValueError`` where the solution is not settled.
    """
    prints = zoned.prints_um(solution) * zoned.image_mm2
    assert solution.state is not None
    held = np.zeros(zoned.train.grid.columns)
    for loop in zoned.train.loops:
        if loop.role is LoopRole.ROLLER:
            held += solution.state.films[loop.rows].sum(axis=0, dtype=np.float64)
    stored = zoned.by_zone(held) * zoned.train.grid.cell_mm2
    return tuple(_stay(zone + 1, float(s), float(p)) for zone, (s, p) in enumerate(zip(stored, prints, strict=True)))


def _stay(zone: int, stored: float, printed: float) -> Stay:
    turns = stored / printed if printed > 0 else np.inf if stored > 0 else 0.0
    return Stay(zone=zone, turns=float(turns), stored_um_mm2=stored, printed_um_mm2=printed)


def long_stays(zoned: ZonedTrain, solution: Solution, *, most_turns: float = MOST_TURNS) -> tuple[Stay, ...]:
    """Zones with image whose ink stays longer than ``most_turns``."""
    image = zoned.image_cells > 0
    return tuple(each for each in stays(zoned, solution) if image[each.zone - 1] and each.turns > most_turns)


def take_off_bars(  # noqa: PLR0913  (all but three are named)
    zoned: ZonedTrain,
    films_um: Array,
    solution: Solution,
    *,
    rows: tuple[int, int],
    most_turns: float = MOST_TURNS,
    accuracy: float = ACCURACY,
) -> BarPlan:
    """The shortest bars, to about a cell, at the tail of ``rows`` (plate rows free for them) that mend every long stay.

    The keys are opened in each zone as its image grows, so that the print about keeps its film; then the train is
    settled with the bars on and judged anew, and bars that are still too short grow. The plate with its bars is a new
    plate: its settings are to be found anew. :class:`NotSettledError` where it does not settle.
    """
    trial = _Trial(zoned, films_um, tail=rows[1], room=rows[1] - rows[0], most_turns=most_turns)
    lengths = np.zeros(len(zoned.zones), dtype=np.int64)
    barred, now = zoned, solution
    found = first = long_stays(zoned, solution, most_turns=most_turns)
    for _ in range(MOST_ROUNDS):
        longer = trial.longer(lengths, barred, found=found)
        if np.array_equal(longer, lengths):
            break
        lengths, barred = longer, trial.barred(longer)
        now = settle(barred.train, trial.keyed(barred), accuracy=accuracy, throw=True)
        found = long_stays(barred, now, most_turns=most_turns)
    bars = tuple(_bars(barred, now, lengths=lengths)) if lengths.any() else ()
    notes = tuple(_notes(first, bars, left=found, most_turns=most_turns))
    return BarPlan(bars=bars, zoned=barred, enough=not found, notes=notes)


@dataclass(frozen=True, slots=True, eq=False)
class _Trial:
    """The plate without bars, its key films, and the plate rows free for bars: ``room`` of them up to ``tail``."""

    zoned: ZonedTrain
    films_um: Array
    tail: int
    room: int
    most_turns: float

    def longer(self, lengths: Rows, barred: ZonedTrain, *, found: Sequence[Stay]) -> Rows:
        """The bars with more rows where ink still stays too long, by what is lacking of the ink to be taken."""
        longer = lengths.copy()
        for stay in found:
            zone = stay.zone - 1
            film_um = stay.printed_um_mm2 / barred.image_mm2[zone]
            row_mm2 = _width_mm(barred, zone) * barred.train.grid.round_mm
            lacking = (stay.stored_um_mm2 / self.most_turns - stay.printed_um_mm2) / (film_um * row_mm2)
            longer[zone] = min(self.room, lengths[zone] + max(1, int(np.ceil(lacking))))
        return longer

    def barred(self, lengths: Rows) -> ZonedTrain:
        """The plate with solid bars at the tail."""
        coverage = self.zoned.demand.coverage.copy()
        for zone, length in zip(self.zoned.zones, lengths, strict=True):
            coverage[self.tail - length : self.tail, slice(*zone)] = 1.0
        return replace(self.zoned, demand=replace(self.zoned.demand, coverage=coverage))

    def keyed(self, barred: ZonedTrain) -> Demand:
        """The keys opened as the image of their zones has grown."""
        image = self.zoned.image_cells
        return barred.keyed(
            self.films_um * np.divide(barred.image_cells, image, out=np.ones(image.size), where=image > 0)
        )


def _width_mm(zoned: ZonedTrain, zone: int) -> float:
    first, end = zoned.zones[zone]
    return (end - first) * zoned.train.grid.across_mm


def _bars(zoned: ZonedTrain, solution: Solution, *, lengths: Rows) -> Iterator[TakeOffBar]:
    turns = [stay.turns for stay in stays(zoned, solution)]
    for zone in np.flatnonzero(lengths):
        yield TakeOffBar(
            zone=int(zone) + 1,
            width_mm=_width_mm(zoned, int(zone)),
            length_mm=float(lengths[zone] * zoned.train.grid.round_mm),
            turns=turns[zone],
        )


def _notes(
    first: Sequence[Stay], bars: Sequence[TakeOffBar], *, left: Sequence[Stay], most_turns: float
) -> Iterator[Problem]:
    """The long stays, the bars that mend them, and where there is no room for a bar long enough."""
    if first:
        zones, turns = ", ".join(str(stay.zone) for stay in first), max(stay.turns for stay in first)
        yield Problem("setup-ink-stays", {"zones": zones, "turns": turns, "most_turns": most_turns})
    for bar in bars:
        values = {"zone": bar.zone, "width_mm": bar.width_mm, "length_mm": bar.length_mm, "turns": bar.turns}
        yield Problem("setup-take-off-bar", values)
    if left:
        zones, turns = ", ".join(str(stay.zone) for stay in left), max(stay.turns for stay in left)
        yield Problem("setup-bar-too-short", {"zones": zones, "turns": turns})
