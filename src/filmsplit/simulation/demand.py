"""What is asked of a train: coverage, films set by the keys, sweep, sheet, and which parts are running."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import FixedShare, Transfer
from filmsplit.simulation.train import CellNip, NipKind, Train


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """What is on. Without sheets plate and blanket part as well; ``thrown_off`` names form rollers off the plate."""

    sheets: bool = True
    forms: bool = True
    thrown_off: frozenset[str] = frozenset()


PRINTING = Running()
NO_SHEET = Running(sheets=False)
FORMS_OFF = Running(sheets=False, forms=False)


HALF = FixedShare()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Demand:
    """Coverage by plate row and column (0..1, the gap 0), film per feed (um, a number or one per column), sweeps.

    The sheet takes ink only within ``sheet_round_mm`` (from the leading image edge) and ``sheet_across_mm``.
    """

    coverage: Array
    films_um: Mapping[str, float | Array] = field(default_factory=dict)
    sweeps_mm: Mapping[str, float] = field(default_factory=dict)
    transfer: Transfer = HALF
    running: Running = PRINTING
    sheet_round_mm: tuple[float, float] | None = None
    sheet_across_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Loaded:
    """A demand put on the cells of a train."""

    cover: Array
    image: Array
    supplies: tuple[Array, ...]
    sweeps: tuple[float, ...]
    takes: Array | None
    transfer: Transfer
    running: Running


def not_finite(demand: Demand) -> list[str]:
    """What in a demand is no number, by name; empty where all is well."""
    numbers: list[tuple[str, object]] = [("coverage", demand.coverage)]
    numbers += [(f"film {name}", film) for name, film in demand.films_um.items()]
    numbers += [(f"sweep {name}", sweep) for name, sweep in demand.sweeps_mm.items()]
    numbers += [(f"transfer {name}", value) for name, value in asdict(demand.transfer).items()]
    numbers += [("sheet round", demand.sheet_round_mm or 0.0), ("sheet across", demand.sheet_across_mm or 0.0)]
    return [name for name, value in numbers if not np.all(np.isfinite(np.asarray(value, dtype=np.float64)))]


def load(train: Train, demand: Demand) -> Loaded:
    """Check a demand against a train and put it on its cells; ``ValueError`` names what does not fit."""
    grid = train.grid
    shape = (grid.rows, grid.columns)
    cover = np.ascontiguousarray(demand.coverage, dtype=train.dtype)
    if cover.shape != shape:
        raise ValueError(f"coverage has {cover.shape} cells, the grid {shape}")
    if not np.all((cover >= 0) & (cover <= 1)):
        raise ValueError("coverage must lie between 0 and 1")
    if isinstance(demand.transfer, FixedShare) and not 0 <= demand.transfer.tau <= 1:
        raise ValueError("the share that the sheet takes must lie between 0 and 1")
    unknown = (set(demand.films_um) | set(demand.sweeps_mm)) - {feed.id for feed in train.feeds}
    if unknown:
        raise ValueError(f"no feed is called {sorted(unknown)}")
    supplies, sweeps = [], []
    for feed in train.feeds:
        film = np.broadcast_to(np.asarray(demand.films_um.get(feed.id, 0.0), dtype=train.dtype), (grid.columns,))
        if not np.all(np.isfinite(film) & (film >= 0)):
            raise ValueError(f"{feed.id}: films must be finite and not negative")
        supplies.append(feed.supply.volume_per_film * film)
        sweep = float(demand.sweeps_mm.get(feed.id, 0.0))
        if not 0 <= sweep < np.inf:
            raise ValueError(f"{feed.id}: a sweep must be finite and not negative")
        sweeps.append(sweep / grid.round_mm)
    return Loaded(
        cover,
        (cover > 0).astype(train.dtype),
        tuple(supplies),
        tuple(sweeps),
        _takes(train, demand),
        demand.transfer,
        demand.running,
    )


def taking(train: Train, demand: Demand) -> Array:
    """1 where the sheet lies, by plate row and column, 0 beyond its edges."""
    grid = train.grid
    takes = np.zeros((grid.rows, grid.columns), dtype=train.dtype)
    first, end = grid.columns_within(demand.sheet_across_mm)
    rows = slice(0, grid.rows)
    if demand.sheet_round_mm is not None:
        rows = slice(max(0, grid.cells(demand.sheet_round_mm[0])), grid.cells(demand.sheet_round_mm[1]))
    takes[rows, first:end] = 1.0
    return takes


def _takes(train: Train, demand: Demand) -> Array | None:
    """:func:`taking`, or ``None`` where the sheet lies everywhere."""
    everywhere = demand.sheet_round_mm is None and demand.sheet_across_mm is None
    return None if everywhere else taking(train, demand)


def is_open(train: Train, nip: CellNip, *, running: Running) -> bool:
    """Whether two members stand apart in what is running."""
    if nip.kind is NipKind.TRANSFER:
        return not running.sheets
    return nip.kind is NipKind.FORM and (not running.forms or train.loops[nip.a].id in running.thrown_off)
