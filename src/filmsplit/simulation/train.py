"""A network cut into cells: prepared once, then marched and solved as often as wanted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np

from filmsplit.ink.feed import DUCTOR_SUPPLY, FLUX_SUPPLY, Supply, fountain_supply
from filmsplit.ink.splitting import Array, volume_share
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.network import DuctorFeed, Feed, FountainFeed, LoopRole, Network, Nip, unsound


class NipKind(Enum):
    """Which law holds in a nip, and what opens it."""

    ROLLERS = "roller to roller"
    FORM = "form roller to plate"
    TRANSFER = "plate to blanket"


@dataclass(frozen=True, slots=True, kw_only=True)
class CellSwing:
    """Half stroke in columns, cycle in steps, phase in radians."""

    half_stroke: float
    cycle: float
    phase: float

    def at(self, steps: Array) -> Array:
        """Place in columns while the given steps are made (their middle)."""
        return self.half_stroke * np.sin(2 * np.pi * (steps + 0.5) / self.cycle + self.phase)


@dataclass(frozen=True, slots=True, kw_only=True)
class CellLoop:
    """A loop of ``cells`` rows; its face covers the columns ``first`` to ``end`` (not included)."""

    id: str
    role: LoopRole
    cells: int
    first: int
    end: int
    speed: float
    swing: CellSwing | None
    offset: int

    @property
    def face(self) -> tuple[int, int]:
        return self.first, self.end

    @property
    def rows(self) -> slice:
        """Its rows in a state."""
        return slice(self.offset, self.offset + self.cells)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CellNip:
    """A nip at cell ``at_a`` of loop ``a`` and ``at_b`` of loop ``b``."""

    id: str
    kind: NipKind
    a: int
    b: int
    at_a: int
    at_b: int
    share: float
    contact: Array | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CellFeed:
    """A feed into loop ``loop`` at cell ``at``, columns ``first`` to ``end``; ``ductor`` where that loop commutes."""

    id: str
    loop: int
    at: int
    first: int
    end: int
    supply: Supply
    ductor: CellDuctor | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CellDuctor:
    """A ductor's cycle in steps: dwell on the fountain, flight, dwell on the train, flight."""

    cycle: float
    start: float
    dwell_feed: int
    dwell_train: int

    def begin(self, cycle: int) -> int:
        """Step at which a cycle begins."""
        return math.floor(self.start + cycle * self.cycle + 0.5)

    def train_dwell(self, cycle: int) -> tuple[int, int]:
        """Steps at which the dwell on the train begins and ends."""
        flight = (self.begin(cycle + 1) - self.begin(cycle) - self.dwell_feed - self.dwell_train) // 2
        first = self.begin(cycle) + self.dwell_feed + flight
        return first, first + self.dwell_train

    def sweep_at(self, cycle: int) -> int:
        """Step before which the sweep has been made: the end of the dwell on the fountain."""
        return self.begin(cycle) + self.dwell_feed

    def cycle_at(self, step: int) -> int:
        """The cycle that a step belongs to."""
        guess = math.floor((step - self.start) / self.cycle)
        return max(cycle for cycle in (guess - 1, guess, guess + 1) if self.begin(cycle) <= step)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Train:
    """The cells of a network. ``block`` steps at a time may be made nip by nip in the order given."""

    network: Network
    grid: Grid
    loops: tuple[CellLoop, ...]
    nips: tuple[CellNip, ...]
    feeds: tuple[CellFeed, ...]
    sheet: tuple[int, int] | None
    order: tuple[int, ...]
    block: int
    dtype: str

    @property
    def cells(self) -> int:
        """Rows of all loops together."""
        return sum(loop.cells for loop in self.loops)

    def loop_index(self, id: str) -> int:
        return next(i for i, loop in enumerate(self.loops) if loop.id == id)

    def role_index(self, role: LoopRole) -> int | None:
        return next((i for i, loop in enumerate(self.loops) if loop.role is role), None)

    @property
    def ductor_of(self) -> dict[int, CellDuctor]:
        """Ductor cycle by the index of its loop."""
        return {feed.loop: feed.ductor for feed in self.feeds if feed.ductor is not None}

    @property
    def blanket_lead(self) -> int:
        """Cells by which a blanket row's number is behind that of the plate row it meets."""
        nip = next((n for n in self.nips if n.kind is NipKind.TRANSFER), None)
        if nip is None:
            return 0
        plate_first = self.loops[nip.a].role is LoopRole.PLATE
        return (nip.at_b - nip.at_a) if plate_first else (nip.at_a - nip.at_b)


def compile_network(network: Network, grid: Grid, *, dtype: str = "float64", block: int | None = None) -> Train:
    """Cut a network into cells. Lengths and places are rounded to whole cells, each loop to at least one.

    ``ValueError`` names every number of the description that is none or cannot be.
    """
    from filmsplit.simulation.schedule import schedule  # noqa: PLC0415  (it needs the types above)

    if wrong := unsound(network):
        raise ValueError("; ".join(wrong))
    loops = _cell_loops(network, grid)
    index = {loop.id: i for i, loop in enumerate(loops)}
    nips = tuple(_cell_nip(network, nip, grid=grid, index=index) for nip in network.nips)
    feeds = tuple(_cell_feed(feed, grid, loops=loops, index=index) for feed in network.feeds)
    sheet = None
    if network.sheet is not None:
        blanket = index[network.sheet.loop]
        sheet = (blanket, grid.cells(network.sheet.at_mm) % loops[blanket].cells)
    order, longest = schedule(loops, nips=nips, feeds=feeds, sheet=sheet)
    return Train(
        network=network,
        grid=grid,
        loops=loops,
        nips=nips,
        feeds=feeds,
        sheet=sheet,
        order=order,
        block=longest if block is None else min(block, longest),
        dtype=dtype,
    )


def _cell_loops(network: Network, grid: Grid) -> tuple[CellLoop, ...]:
    loops: list[CellLoop] = []
    offset = 0
    for loop in network.loops:
        cells = grid.rows if loop.role is not LoopRole.ROLLER else max(1, grid.cells(loop.length_mm))
        first, end = grid.columns_within(loop.face_mm)
        swing = None
        if loop.swing is not None and loop.swing.stroke_mm > 0:
            swing = CellSwing(
                half_stroke=loop.swing.stroke_mm / 2 / grid.across_mm,
                cycle=loop.swing.cycle_rev * grid.rows,
                phase=math.radians(loop.swing.phase_deg),
            )
        loops.append(
            CellLoop(
                id=loop.id,
                role=loop.role,
                cells=cells,
                first=first,
                end=end,
                speed=loop.speed,
                swing=swing,
                offset=offset,
            )
        )
        offset += cells
    return tuple(loops)


def _cell_nip(network: Network, nip: Nip, *, grid: Grid, index: dict[str, int]) -> CellNip:
    a, b = network.loop(nip.a.loop), network.loop(nip.b.loop)
    roles = {a.role, b.role}
    kind = NipKind.ROLLERS
    if LoopRole.PLATE in roles:
        kind = NipKind.TRANSFER if LoopRole.BLANKET in roles else NipKind.FORM
    share = volume_share(a.speed / b.speed) if nip.slips else nip.share
    first, second = nip.a, nip.b
    if kind is NipKind.FORM and a.role is LoopRole.PLATE:  # the kernel wants the form roller first
        first, second, share = second, first, 1.0 - share
    contact = grid.profile(nip.contact)
    return CellNip(
        id=nip.id,
        kind=kind,
        a=index[first.loop],
        b=index[second.loop],
        at_a=grid.cells(first.at_mm),
        at_b=grid.cells(second.at_mm),
        share=share,
        contact=None if np.all(contact == 1.0) else contact,
    )


def _cell_feed(feed: Feed, grid: Grid, *, loops: tuple[CellLoop, ...], index: dict[str, int]) -> CellFeed:
    at = feed.fountain if isinstance(feed, DuctorFeed) else feed.at
    loop = loops[index[at.loop]]
    first, end = grid.columns_within(feed.face_mm)
    if isinstance(feed, DuctorFeed):
        supply = DUCTOR_SUPPLY
        if loop.swing is not None:
            raise ValueError(f"{feed.id}: a ductor that oscillates is not modelled")
    else:
        supply = fountain_supply(feed.speed_ratio) if isinstance(feed, FountainFeed) else FLUX_SUPPLY
    if loop.swing is None:
        first, end = max(first, loop.first), min(end, loop.end)
    return CellFeed(
        id=feed.id,
        loop=index[at.loop],
        at=grid.cells(at.at_mm),
        first=first,
        end=max(first, end),
        supply=supply,
        ductor=_cell_ductor(feed, grid) if isinstance(feed, DuctorFeed) else None,
    )


def _cell_ductor(feed: DuctorFeed, grid: Grid) -> CellDuctor:
    cycle = feed.cycle_rev * grid.rows
    ductor = CellDuctor(
        cycle=cycle,
        start=feed.phase_deg / 360.0 * cycle,
        dwell_feed=grid.cells(feed.dwell_feed_mm),
        dwell_train=grid.cells(feed.dwell_train_mm),
    )
    if ductor.dwell_feed + ductor.dwell_train + 1 > cycle:
        raise ValueError(f"{feed.id}: the two dwells leave no time for the flights of the ductor")
    return ductor
