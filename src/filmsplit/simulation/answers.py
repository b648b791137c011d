"""Films by arc, roller, plate, blanket and sheet, and what each form roller gives, from one watched march."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand, taking
from filmsplit.simulation.march import Marched, Passing
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.stops import Stop, stops_of
from filmsplit.simulation.train import NipKind, Train

NOTHING = 1e-12
"""Ink given to the plate that is less than this part of what the form rollers bring is rounding."""


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
    """Means over the watched revolutions and over ``columns`` (first, and the one after the last).

    ``loops_um`` is by length over each loop. ``plate_um`` is the film the last form roller leaves on the plate's
    image, ``blanket_um`` what the blanket's image brings to the sheet, ``sheet_mean_um`` what the sheet carries on
    its image: each the sum of coverage x film over the sum of coverage. ``form_shares`` are of the ink that all form
    rollers together give within the columns; ``None`` where they give none. ``sheet_um`` is the film per image area
    by plate row and column, all over the plate; fed, printed and stored are of the whole train.
    """

    columns: tuple[int, int]
    arcs: tuple[ArcFilm, ...]
    loops_um: Mapping[str, float]
    plate_um: float
    blanket_um: float
    sheet_mean_um: float
    sheet_um: Array
    form_shares: Mapping[str, float | None]
    fed_per_revolution_um_mm2: float
    printed_per_revolution_um_mm2: float
    stored_um_mm2: float


def sheet_columns(train: Train, demand: Demand) -> tuple[int, int]:
    """The columns on which the sheet lies: all of them where the demand does not say."""
    return train.grid.columns_within(demand.sheet_across_mm)


def answers_of(train: Train, demand: Demand, *, marched: Marched, columns: tuple[int, int] | None = None) -> Answers:
    """Answers from a watched march. ``columns`` limits the means to a width: the sheet's, unless told otherwise."""
    passing = marched.passing
    if passing is None:
        raise ValueError("march with watch=True to ask for films")
    columns = columns or sheet_columns(train, demand)
    across = slice(*columns)
    stops = stops_of(train)
    arcs = tuple(_arc(train, passing, stops=stops, number=i, across=across) for i in range(len(stops)))
    turns = marched.fed.shape[0]
    return Answers(
        columns=columns,
        arcs=arcs,
        loops_um=_loops(train, passing, arcs=arcs, across=across),
        plate_um=_plate(train, passing, across=across),
        blanket_um=_blanket(train, passing, across=across),
        sheet_mean_um=_on_sheet(train, demand, passing, across=across),
        sheet_um=passing.sheet_um,
        form_shares=_form_shares(train, passing, across=across),
        fed_per_revolution_um_mm2=marched.fed_um_mm2 / turns,
        printed_per_revolution_um_mm2=marched.printed_um_mm2 / turns,
        stored_um_mm2=marched.stored_after_um_mm2,
    )


def _arc(train: Train, passing: Passing, *, stops: tuple[Stop, ...], number: int, across: slice) -> ArcFilm:
    """The arc that ends at a stop: the film arriving there, or leaving the stop before where no film passes that."""
    end = stops[number]
    before = next(stop for stop in stops if stop.loop == end.loop and stops[stop.following] is end)
    loop = train.loops[end.loop]
    face = slice(max(across.start, loop.first), min(across.stop, loop.end))
    film = 0.0
    for nip, ink in ((before, passing.leaving), (end, passing.arriving)):
        weight = passing.weight[nip.number, nip.side, face].sum() if nip.kind == "nip" else 0.0
        film = ink[nip.number, nip.side, face].sum() / weight if weight > 0 else film
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


def _plate(train: Train, passing: Passing, *, across: slice) -> float:
    """Film the plate brings to the blanket; where they stand apart, what the last form roller at work leaves."""
    forms = sorted(_numbers(train, NipKind.FORM), key=lambda i: -train.nips[i].at_b)
    seen = [_film(train, passing, ink=passing.arriving, number=i, across=across) for i in _transfer(train)]
    seen += [_film(train, passing, ink=passing.leaving, number=i, across=across) for i in forms]
    return next((film for film in seen if film is not None), 0.0)


def _blanket(train: Train, passing: Passing, *, across: slice) -> float:
    """Film the blanket carries away from the plate."""
    role = LoopRole.BLANKET
    seen = [_film(train, passing, ink=passing.leaving, number=i, across=across, role=role) for i in _transfer(train)]
    return next((film for film in seen if film is not None), 0.0)


def _film(  # noqa: PLR0913  (all but two are named)
    train: Train, passing: Passing, *, ink: Array, number: int, across: slice, role: LoopRole = LoopRole.PLATE
) -> float | None:
    """Film of one member per image area in one nip; ``None`` where no image passed it."""
    side = 0 if train.loops[train.nips[number].a].role is role else 1
    weight = passing.weight[number, side, across].sum()
    return float(ink[number, side, across].sum() / weight) if weight > 0 else None


def _numbers(train: Train, kind: NipKind) -> list[int]:
    return [i for i, nip in enumerate(train.nips) if nip.kind is kind]


def _transfer(train: Train) -> list[int]:
    return _numbers(train, NipKind.TRANSFER)


def _on_sheet(train: Train, demand: Demand, passing: Passing, *, across: slice) -> float:
    """Film per image area where the sheet lies."""
    weight = _weights(train, demand)[:, across]
    total = float(weight.sum(dtype=np.float64))
    return float((weight * passing.sheet_um[:, across]).sum(dtype=np.float64)) / total if total > 0 else 0.0


def image_cells(train: Train, demand: Demand, *, columns: tuple[int, int]) -> float:
    """Sum of the coverage of all cells on the sheet within ``columns``: what a mean on the sheet is taken over."""
    return float(column_image(train, demand)[slice(*columns)].sum())


def column_image(train: Train, demand: Demand) -> Array:
    """Sum of the coverage of all cells on the sheet, by column."""
    return np.asarray(_weights(train, demand).sum(axis=0, dtype=np.float64))


def _weights(train: Train, demand: Demand) -> Array:
    return np.asarray(taking(train, demand) * demand.coverage)


def _form_shares(train: Train, passing: Passing, *, across: slice) -> dict[str, float | None]:
    """Ink each form roller gives to the plate over that of all; there are no shares of nothing."""
    forms = {train.loops[train.nips[i].a].id: i for i in _numbers(train, NipKind.FORM)}
    brought = sum(float(passing.arriving[i, 0, across].sum()) for i in forms.values())
    given = {
        id: float((passing.arriving[i, 0, across] - passing.leaving[i, 0, across]).sum()) for id, i in forms.items()
    }
    total = sum(given.values())
    flows = abs(total) > NOTHING * brought
    return {id: ink / total if flows else None for id, ink in given.items()}
