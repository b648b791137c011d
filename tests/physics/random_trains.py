"""Trains at random: everything a network can hold, in any combination. All invented."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from filmsplit.ink.transfer import WalkerFetsko
from filmsplit.simulation.demand import FORMS_OFF, NO_SHEET, Demand, Running
from filmsplit.simulation.grid import Grid, grid_of
from filmsplit.simulation.network import (
    DuctorFeed,
    Feed,
    FluxFeed,
    FountainFeed,
    Loop,
    LoopRole,
    Network,
    Nip,
    Profile,
    Swing,
)
from filmsplit.simulation.train import NipKind, Train, compile_network
from physics.trains import at, coverage, cylinders, nip

CELL, WIDTH = 2.0, 12.0
PLATE_ROWS = 30
FEEDS = ("ductor", "fountain", "flux")
CYCLES = (0.5, 1.0, 1.5, 2.0, 3.0)
"""All divide six revolutions."""

MODES = ("printing", "no sheet", "forms off", "one form off", "small sheet", "a law on the sheet")
LAW = WalkerFetsko(k=3, b=2, f=0.3, density=1.1)


@dataclass
class _Growing:
    """Rollers, and which of their cells already meet something: two nips on one cell have no order."""

    rng: np.random.Generator
    divides: bool
    loops: list[Loop] = field(default_factory=list)
    nips: list[Nip] = field(default_factory=list)
    free: dict[str, list[int]] = field(default_factory=dict)

    def chance(self, part: float) -> bool:
        return bool(self.rng.random() < part)

    def add(self, id: str, *, speed: float = 1.0, swings: float = 0.4, narrow: float = 0.3) -> str:
        """A roller of its own length, perhaps oscillating, perhaps narrower than the press."""
        cells = int(self.rng.integers(9, 19))
        face = (float(self.rng.uniform(0, 2.5)), float(self.rng.uniform(9, 12))) if self.chance(narrow) else None
        loop = Loop(
            id=id,
            length_mm=cells * CELL + float(self.rng.uniform(-0.9, 0.9)),
            face_mm=face,
            swing=self.swing() if self.chance(swings) else None,
            speed=speed,
        )
        self.loops.append(loop)
        self.free[id] = list(self.rng.permutation(cells))
        return id

    def swing(self) -> Swing:
        cycle = float(self.rng.choice(CYCLES) if self.divides else self.rng.uniform(0.6, 3.0))
        return Swing(
            stroke_mm=float(self.rng.uniform(0.5, 5)), cycle_rev=cycle, phase_deg=float(self.rng.uniform(0, 360))
        )

    def spot(self, id: str) -> tuple[str, float]:
        """A place on a cell of its own, not quite in its middle."""
        return id, self.free[id].pop() * CELL + float(self.rng.uniform(-0.9, 0.9))

    def meet(self, a: str, b: str, *, slips: bool = False) -> None:
        """A nip of two rollers or a roller and the plate, described from either side."""
        contact: Profile = 1.0
        if self.chance(0.25):
            contact = float(self.rng.uniform(0.5, 1))
        elif self.chance(0.25):
            contact = ((1.0, float(self.rng.uniform(0.4, 1))), (WIDTH, float(self.rng.uniform(0.4, 1))))
        first, second = (a, b) if self.chance(0.5) else (b, a)
        share = float(self.rng.uniform(0.4, 0.6)) if self.chance(0.5) else 0.5
        self.nips.append(nip(self.spot(first), self.spot(second), share=share, contact=contact, slips=slips))


def random_train(seed: int, *, feed: str = "fountain", divides: bool = True) -> Network:
    """Three to seven rollers in a tree, bridges that make loops and parallel paths, riders, one roller that slips, one
    to three form rollers; oscillators, narrow faces, unequal shares and imperfect contacts by chance.

    ``divides``: whether the cycles divide six revolutions. A flux-fed train has no narrow faces, so that all that is
    fed finds its way out.
    """
    rng = np.random.default_rng((seed, FEEDS.index(feed)))
    grown = _Growing(rng, divides)
    narrow = 0.0 if feed == "flux" else 0.3
    grown.free |= {id: list(rng.permutation(PLATE_ROWS)) for id in ("plate", "blanket")}
    rollers = [grown.add("R0", narrow=narrow)]
    for i in range(1, int(rng.integers(3, 8))):
        rollers.append(grown.add(f"R{i}", narrow=narrow))
        grown.meet(rollers[int(rng.integers(0, i))], rollers[i])
    for i in range(int(rng.integers(0, 3))):
        _bridge(grown, f"B{i}", rollers, narrow=narrow)
    for i in range(int(rng.integers(0, 3))):
        grown.meet(str(rng.choice(rollers)), grown.add(f"X{i}", narrow=narrow))
    if grown.chance(0.5):
        grown.meet(
            str(rng.choice(rollers)), grown.add("S", speed=float(rng.uniform(0.2, 1.6)), narrow=narrow), slips=True
        )
    for form in rng.choice(rollers, size=min(len(rollers), int(rng.integers(1, 4))), replace=False):
        grown.meet(str(form), "plate")
    grown.nips.append(nip(grown.spot("plate"), grown.spot("blanket")))
    if grown.chance(0.5):
        grown.nips[-1] = replace(grown.nips[-1], a=grown.nips[-1].b, b=grown.nips[-1].a)
    source = _source(grown, feed)
    rng.shuffle(grown.nips)
    return Network(
        id=f"random {feed} {seed}",
        plate_mm=PLATE_ROWS * CELL,
        loops=(*grown.loops, *cylinders(PLATE_ROWS * CELL)),
        nips=tuple(grown.nips),
        feeds=(source,),
        sheet=at(*grown.spot("blanket")),
    )


def _bridge(grown: _Growing, id: str, rollers: list[str], *, narrow: float) -> None:
    """A roller between two others: a second path, or a loop in the train."""
    first, second = (str(each) for each in grown.rng.choice(rollers, size=2, replace=False))
    grown.add(id, narrow=narrow)
    grown.meet(first, id)
    grown.meet(id, second)


def _source(grown: _Growing, feed: str) -> Feed:
    rng = grown.rng
    face = (float(rng.uniform(0, 2)), float(rng.uniform(10, WIDTH)))
    if feed == "fountain":
        ratio = float(10 ** rng.uniform(-1.5, 0.2))
        return FountainFeed(id="feed", at=at(*grown.spot("R0")), speed_ratio=ratio, face_mm=face)
    if feed == "flux":
        return FluxFeed(id="feed", at=at(*grown.spot("R0")), face_mm=(5.0, 9.0))  # where the drum always is
    grown.add("D", swings=0.0)
    grown.meet("D", "R0")
    return DuctorFeed(
        id="feed",
        fountain=at(*grown.spot("D")),
        cycle_rev=float(rng.choice(CYCLES[1:]) if grown.divides else rng.uniform(1, 3)),
        dwell_feed_mm=float(rng.uniform(4, 20)),
        dwell_train_mm=float(rng.uniform(14, 30)),
        phase_deg=float(rng.uniform(0, 360)),
        face_mm=face,
    )


def grid_for(network: Network) -> Grid:
    return grid_of(network.plate_mm, WIDTH, round_mm=CELL, across_mm=WIDTH / 6)


def train_and_demand(network: Network, *, seed: int, dtype: str = "float64") -> tuple[Train, Demand]:
    """A patchwork of tints with a gap, some ink in every column, and keys that differ across."""
    grid = grid_for(network)
    cover = np.maximum(coverage(grid, gap=0.0, mean=0.4, seed=seed), 0.05)
    cover[-5:] = 0
    film = np.random.default_rng(seed).uniform(5, 20, grid.columns)
    sweeps = {"feed": 17.3} if isinstance(network.feeds[0], DuctorFeed) else {}
    if isinstance(network.feeds[0], FluxFeed):
        film = film / 20
    return compile_network(network, grid, dtype=dtype), Demand(
        coverage=cover, films_um={"feed": film}, sweeps_mm=sweeps
    )


def asked(demand: Demand, train: Train, mode: str) -> Demand:
    """The same demand with something parted, a sheet smaller than the plate, or a law on the sheet."""
    form = next(train.loops[nip.a].id for nip in train.nips if nip.kind is NipKind.FORM)
    return {
        "printing": demand,
        "no sheet": replace(demand, running=NO_SHEET),
        "forms off": replace(demand, running=FORMS_OFF),
        "one form off": replace(demand, running=Running(thrown_off=frozenset({form}))),
        "small sheet": replace(demand, sheet_round_mm=(6.0, 44.0), sheet_across_mm=(2.0, 10.0)),
        "a law on the sheet": replace(demand, transfer=LAW),
    }[mode]


def open_nips(network: Network, demand: Demand) -> set[int]:
    """Numbers of the nips that stand apart, read from the definition: no sheet parts plate and blanket too."""
    parted = set()
    for number, each in enumerate(network.nips):
        roles = {network.loop(each.a.loop).role: each.a.loop, network.loop(each.b.loop).role: each.b.loop}
        if set(roles) == {LoopRole.PLATE, LoopRole.BLANKET} and not demand.running.sheets:
            parted.add(number)
        if set(roles) == {LoopRole.PLATE, LoopRole.ROLLER}:
            off = not demand.running.forms or roles[LoopRole.ROLLER] in demand.running.thrown_off
            parted |= {number} if off else set()
    return parted
