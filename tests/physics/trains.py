"""Trains for the tests: small, made for one law each. All invented."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.grid import Grid
from filmsplit.simulation.network import (
    DuctorFeed,
    Feed,
    FluxFeed,
    FountainFeed,
    Loop,
    LoopRole,
    Network,
    Nip,
    Place,
    Swing,
)


def at(loop: str, place: float) -> Place:
    return Place(loop=loop, at_mm=place)


def nip(a: tuple[str, float], b: tuple[str, float], **options: Any) -> Nip:
    """``a`` and ``b`` as (loop, place)."""
    return Nip(a=at(*a), b=at(*b), **options)


def cylinders(plate_mm: float) -> tuple[Loop, Loop]:
    """Plate and blanket."""
    return (
        Loop(id="plate", length_mm=plate_mm, role=LoopRole.PLATE),
        Loop(id="blanket", length_mm=plate_mm, role=LoopRole.BLANKET),
    )


def chain(
    count: int = 3,
    *,
    plate_mm: float = 60.0,
    roller_mm: float = 20.0,
    feed: str = "fountain",
    ratio: float = 1.0,
    share: float = 0.5,
) -> Network:
    """Feed -> R1 -> ... -> R``count`` (the form roller) -> plate -> blanket -> sheet; nips half a turn apart.

    ``share`` is the part left on the sheet-side member at every nip.
    """
    rollers = [f"R{i + 1}" for i in range(count)]
    half = roller_mm / 2
    loops = [Loop(id=id, length_mm=roller_mm) for id in rollers]
    nips = [nip((a, half), (b, 0.0), share=1 - share) for a, b in pairwise(rollers)]
    nips += [nip((rollers[-1], half), ("plate", 0.0), share=1 - share)]
    nips += [nip(("plate", plate_mm / 2), ("blanket", 0.0), share=1 - share)]
    place = at("R1", 0.0)
    source = (
        FountainFeed(id="feed", at=place, speed_ratio=ratio) if feed == "fountain" else FluxFeed(id="feed", at=place)
    )
    return Network(
        id="chain",
        plate_mm=plate_mm,
        loops=(*loops, *cylinders(plate_mm)),
        nips=tuple(nips),
        feeds=(source,),
        sheet=at("blanket", plate_mm / 2),
    )


def small_press(
    *,
    plate_mm: float = 120.0,
    swing: bool = True,
    feed: str = "ductor",
    cycle_rev: float = 2.0,
    face: bool = True,
    phase_deg: float = 0.0,
) -> Network:
    """Ductor, drum, distributor, rider, second drum, two form rollers; incommensurate loops; oscillating drums."""
    stroke = 6.0 if swing else 0.0
    narrow = (4.0, 36.0) if face else None
    loops: tuple[Loop, ...] = (
        Loop(id="D", length_mm=34.0),
        Loop(id="T1", length_mm=43.0, swing=Swing(stroke_mm=stroke, cycle_rev=2.0)),
        Loop(id="R", length_mm=31.0, face_mm=narrow),
        Loop(id="X", length_mm=37.0, face_mm=(2.0, 38.0) if face else None),
        Loop(id="T2", length_mm=41.0, swing=Swing(stroke_mm=stroke, cycle_rev=2.0, phase_deg=70.0)),
        Loop(id="F1", length_mm=38.0),
        Loop(id="F2", length_mm=44.0, swing=Swing(stroke_mm=stroke / 2, cycle_rev=1.0, phase_deg=20.0)),
        *cylinders(plate_mm),
    )
    nips: tuple[Nip, ...] = (
        nip(("D", 15.0), ("T1", 0.0)),
        nip(("T1", 11.0), ("R", 3.0)),
        nip(("T1", 24.0), ("X", 0.0), contact=((0.0, 1.0), (40.0, 0.7))),
        nip(("X", 17.0), ("T2", 1.0), share=0.45),
        nip(("T2", 12.0), ("F2", 0.0), contact=0.8),
        nip(("T2", 30.0), ("F1", 5.0)),
        nip(("F1", 24.0), ("plate", 0.0)),
        nip(("F2", 21.0), ("plate", 14.0), share=0.52),
        nip(("plate", 70.0), ("blanket", 9.0)),
    )
    source: Feed
    if feed == "ductor":
        source = DuctorFeed(
            id="feed",
            fountain=at("D", 0.0),
            cycle_rev=cycle_rev,
            dwell_feed_mm=30.0,
            dwell_train_mm=50.0,
            phase_deg=phase_deg,
            face_mm=(1.0, 39.0),
        )
    else:
        source = FountainFeed(id="feed", at=at("T1", 36.0), speed_ratio=0.1, face_mm=(1.0, 39.0))
        loops, nips = loops[1:], nips[1:]
    return Network(id="small", plate_mm=plate_mm, loops=loops, nips=nips, feeds=(source,), sheet=at("blanket", 60.0))


def coverage(grid: Grid, *, gap: float = 0.0, mean: float = 0.3, seed: int = 1, image_share: float = 0.5) -> Array:
    """A patchwork of tints with a gap at the tail of the plate, mean coverage ``mean`` over the whole plate."""
    rng = np.random.default_rng(seed)
    patches = rng.random((grid.rows // 6 + 1, grid.columns // 3 + 1))
    patches[patches > image_share] = 0
    cover = np.kron(patches, np.ones((6, 3)))[: grid.rows, : grid.columns]
    cover[grid.rows - round(gap * grid.rows) :] = 0
    return np.asarray(np.clip(cover * (mean / max(cover.mean(), 1e-9)), 0, 1))
