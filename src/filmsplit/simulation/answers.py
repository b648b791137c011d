"""Films by arc, roller, plate, blanket and sheet, and what each form roller gives, from one watched march."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.march import Marched, Passing
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.stops import Stop, stops_of
from filmsplit.simulation.train import NipKind, Train


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcFilm:
    """Mean film on the way from one contact of a loop to the next (contacts by the partner's id, or a feed's)."""

    loop: str
    start: str
    end: str
    length_mm: float
    film_um: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answers:
    """Means over the watched revolutions and the columns asked for. ``loops_um`` is by length over each loop."""

    arcs: tuple[ArcFilm, ...]
    loops_um: Mapping[str, float]
    sheet_mean_um: float
    sheet_um: Array
    form_shares: Mapping[str, float]
    fed_per_revolution_um_mm2: float
    printed_per_revolution_um_mm2: float
    stored_um_mm2: float


def answers_of(train: Train, marched: Marched, *, columns: tuple[int, int] | None = None) -> Answers:
    """Answers from a watched march; ``columns`` limits the means to a width (the sheet's)."""
    passing = marched.passing
    if passing is None:
        raise ValueError("march with watch=True to ask for films")
    across = slice(*(columns or (0, train.grid.columns)))
    stops = stops_of(train)
    arcs = tuple(_arc(train, passing, stops=stops, number=i, across=across) for i in range(len(stops)))
    turns = marched.fed.shape[0]
    sheet = marched.printed.sum() / max(marched.image_cells * turns, 1e-300)
    return Answers(
        arcs=arcs,
        loops_um=_loops(train, passing, arcs=arcs, across=across),
        sheet_mean_um=float(sheet),
        sheet_um=passing.sheet_um,
        form_shares=_form_shares(train, passing),
        fed_per_revolution_um_mm2=marched.fed_um_mm2 / turns,
        printed_per_revolution_um_mm2=marched.printed_um_mm2 / turns,
        stored_um_mm2=marched.stored_after_um_mm2,
    )


def _arc(train: Train, passing: Passing, *, stops: tuple[Stop, ...], number: int, across: slice) -> ArcFilm:
    """The arc that ends at a stop: the film arriving there, or leaving the stop before where that is the nip."""
    end = stops[number]
    before = next(stop for stop in stops if stop.loop == end.loop and stops[stop.following] is end)
    loop = train.loops[end.loop]
    face = slice(max(across.start, loop.first), min(across.stop, loop.end))
    nip, ink = (end, passing.arriving) if end.kind == "nip" else (before, passing.leaving)
    weight = passing.weight[nip.number, nip.side, face].sum() if nip.kind == "nip" else 0.0
    film = ink[nip.number, nip.side, face].sum() / weight if weight > 0 else 0.0
    return ArcFilm(
        loop=loop.id,
        start=_partner(train, before),
        end=_partner(train, end),
        length_mm=end.rows.size * train.grid.round_mm * loop.speed,
        film_um=float(film / loop.speed),
    )


def _partner(train: Train, stop: Stop) -> str:
    if stop.kind == "nip":
        nip = train.nips[stop.number]
        return train.loops[nip.b if stop.side == 0 else nip.a].id
    return train.feeds[stop.number].id if stop.kind == "feed" else "sheet"


def _loops(train: Train, passing: Passing, *, arcs: tuple[ArcFilm, ...], across: slice) -> dict[str, float]:
    """Means over each loop by length; a ductor's from its film over the whole time."""
    means = {}
    for number, loop in enumerate(train.loops):
        own = [arc for arc in arcs if arc.loop == loop.id and arc.length_mm > 0]
        means[loop.id] = sum(a.film_um * a.length_mm for a in own) / max(sum(a.length_mm for a in own), 1e-300)
        if number in passing.ductors:
            face = slice(max(across.start, loop.first), min(across.stop, loop.end))
            means[loop.id] = float(np.mean(passing.ductors[number][face])) / loop.speed
    return means


def _form_shares(train: Train, passing: Passing) -> dict[str, float]:
    """Ink each form roller gives to the plate over that of all."""
    given = {
        train.loops[nip.a].id: float((passing.arriving[i, 0] - passing.leaving[i, 0]).sum())
        for i, nip in enumerate(train.nips)
        if nip.kind is NipKind.FORM and train.loops[nip.a].role is LoopRole.ROLLER
    }
    total = sum(given.values())
    return {id: ink / total if total else 0.0 for id, ink in given.items()}
