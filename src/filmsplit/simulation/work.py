"""What changes while marching, and when: for the marching kernels only."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Loaded, is_open
from filmsplit.simulation.state import State
from filmsplit.simulation.train import CellDuctor, Train

LINE_BYTES = 64
"""A line of cache, on every processor this was measured on."""


@dataclass(slots=True, kw_only=True, eq=False)
class Watched:
    """Sums of what passes while marching; see ``Passing``."""

    nips: Array
    """By nip: arriving from a and b, leaving on them, their weights; each by column."""
    sheet: Array
    ductors: dict[int, Array]

    @classmethod
    def of(cls, train: Train) -> Watched:
        columns = train.grid.columns
        return cls(
            nips=np.zeros((len(train.nips), 6, columns)),
            sheet=np.zeros((train.grid.rows, columns)),
            ductors={loop: np.zeros(columns) for loop in train.ductor_of},
        )

    @property
    def arriving(self) -> Array:
        return self.nips[:, 0:2]

    @property
    def leaving(self) -> Array:
        return self.nips[:, 2:4]

    @property
    def weight(self) -> Array:
        return self.nips[:, 4:6]


@dataclass(slots=True, kw_only=True, eq=False)
class Work:
    """A march: where it begins, how far each ductor has turned by itself, and what is to come of it."""

    train: Train
    loaded: Loaded
    before: State
    films: Array
    turned: dict[int, int]
    fed: Array
    printed: Array
    sheet: Array
    cover: Array
    takes: Array | None
    watched: Watched | None
    open_nips: frozenset[int] = field(default_factory=frozenset)

    def revolution(self, step: int) -> int:
        """Number of the revolution a step belongs to."""
        return (step - self.before.step) // self.train.grid.rows

    def surfaces(self, first: int, end: int) -> list[Array]:
        """Films of every loop between two columns, row ``travel - place``, laid out as ``lines`` says."""
        films = self.before.films[:, first:end]
        room = lines(films.shape[0], films.shape[1], dtype=self.train.dtype)
        for i, loop in enumerate(self.train.loops):
            into = room[loop.rows, : films.shape[1]]
            turn_into(into, films[loop.rows], turned=self.turned.get(i, self.before.step))
        return [room[loop.rows] for loop in self.train.loops]

    def pack(self, surfaces: list[Array], step: int, *, first: int) -> None:
        """Put surfaces from column ``first`` on back in the order that does not depend on how far they have turned."""
        for i, (loop, surface) in enumerate(zip(self.train.loops, surfaces, strict=True)):
            into = self.films[loop.rows, first : first + surface.shape[1]]
            turn_into(into, surface, turned=-self.turned.get(i, step))

    def sweep(self, number: int) -> tuple[int, float]:
        """Whole cells that pass the fountain in a sweep of a feed, and the part of the one after."""
        sweep = self.loaded.sweeps[number]
        return int(sweep), sweep - int(sweep)

    def swept(self, number: int) -> None:
        """A feed's ductor has made its sweep: it stands at the nearest whole cell."""
        self.turned[self.train.feeds[number].loop] += round(self.loaded.sweeps[number])

    def turn(self, steps: int, *, resting: frozenset[int]) -> None:
        """Ductors on the train have turned with it."""
        for loop in self.turned:
            if loop not in resting:
                self.turned[loop] += steps


def work_of(train: Train, loaded: Loaded, *, state: State, revolutions: int, watch: bool) -> Work:
    """The work of marching whole revolutions from a state."""
    columns = train.grid.columns
    return Work(
        train=train,
        loaded=loaded,
        before=state,
        films=np.empty((train.cells, columns), dtype=train.dtype),
        turned=dict.fromkeys(train.ductor_of, 0),
        fed=np.zeros((revolutions, columns)),
        printed=np.zeros((revolutions, columns)),
        sheet=np.zeros((train.grid.rows, columns), dtype=train.dtype),
        cover=spread(loaded.cover),
        takes=None if loaded.takes is None else spread(loaded.takes),
        watched=Watched.of(train) if watch else None,
        open_nips=frozenset(i for i, nip in enumerate(train.nips) if is_open(train, nip, running=loaded.running)),
    )


def lines(rows: int, columns: int, *, dtype: str) -> Array:
    """Rows of at least so many columns, each an odd number of lines of cache long; 0, as is a row's length around them.

    Rows that follow each other then do not crowd into the same part of the cache, however many columns there are.
    """
    itemsize = np.dtype(dtype).itemsize
    cells = LINE_BYTES // itemsize
    pitch = (-(-columns // cells) | 1) * cells
    room = np.zeros((rows + 2) * pitch + cells, dtype=dtype)
    first = pitch + (-room.ctypes.data % LINE_BYTES) // itemsize
    return room[first : first + rows * pitch].reshape(rows, pitch)


def spread(rows: Array) -> Array:
    """A copy laid out as ``lines`` says."""
    copy = lines(rows.shape[0], rows.shape[1], dtype=rows.dtype.name)
    copy[:, : rows.shape[1]] = rows
    return copy


def turn_into(into: Array, rows: Array, *, turned: int) -> None:
    """Copy rows, turned by so many."""
    count = rows.shape[0]
    turned %= count
    into[turned:], into[:turned] = rows[: count - turned], rows[count - turned :]


@dataclass(frozen=True, slots=True)
class Segment:
    """Steps ``first`` to ``end`` between which no ductor changes over, the ductors that stand still meanwhile, and the
    feeds whose ductor makes its sweep before the first of them."""

    first: int
    end: int
    resting: frozenset[int]
    sweeping: tuple[int, ...]

    @property
    def steps(self) -> int:
        return self.end - self.first


def segments(train: Train, first: int, end: int) -> Iterator[Segment]:
    """Steps ``first`` to ``end``, cut where a ductor changes over."""
    ductors = train.ductor_of
    while first < end:
        stop = min([end, *(stop for ductor in ductors.values() for stop in _stops(ductor, first) if stop > first)])
        resting = frozenset(loop for loop, ductor in ductors.items() if not _on_train(ductor, first))
        sweeping = tuple(
            i for i, feed in enumerate(train.feeds) if feed.ductor is not None and _sweeps(feed.ductor, first)
        )
        yield Segment(first, stop, resting, sweeping)
        first = stop


def _stops(ductor: CellDuctor, step: int) -> tuple[int, ...]:
    """Steps of the present cycle at which a ductor changes over."""
    cycle = ductor.cycle_at(step)
    return ductor.begin(cycle + 1), ductor.sweep_at(cycle), *ductor.train_dwell(cycle)


def _on_train(ductor: CellDuctor, step: int) -> bool:
    first, end = ductor.train_dwell(ductor.cycle_at(step))
    return first <= step < end


def _sweeps(ductor: CellDuctor, step: int) -> bool:
    return ductor.sweep_at(ductor.cycle_at(step)) == step
