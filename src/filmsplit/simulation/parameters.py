"""What a forecast rests on, one number at a time: named, and moved by a little in a train and its demand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import FixedShare
from filmsplit.messages import label
from filmsplit.simulation.demand import Demand
from filmsplit.simulation.train import CellNip, Train


class ParameterKind(Enum):
    """What kind of number (for units see :class:`Parameter`); the word is also that of its label."""

    SPLIT = "split"
    TRANSFER = "transfer"
    KEY_FILM = "key-film"
    SWEEP = "sweep"
    CONTACT = "contact"
    STROKE = "stroke"
    DWELL = "dwell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One number of a train or a demand.

    ``name`` is the nip (its id) of a split or contact share, the feed of a key film, sweep or dwell (of the ductor on
    the train), the loop of a stroke; empty means all of them together. ``columns`` limits a key film to a zone.
    Units: split, transfer and contact are shares (0..1), key film um, sweep, stroke and dwell mm. A split is the
    share that leaves on the member nearer to the sheet.
    """

    kind: ParameterKind
    name: str = ""
    columns: tuple[int, int] | None = None

    @property
    def words(self) -> str:
        """What it is called to a person."""
        if self.name:
            return label(f"parameter-at.{self.kind.value}", name=self.name)
        return label(f"parameter.{self.kind.value}")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """A train and what is asked of it."""

    train: Train
    demand: Demand


def moved(asked: Asked, parameter: Parameter, *, by: float) -> Asked:
    """The same with one parameter larger by ``by``; ``ValueError`` where there is no such parameter."""
    return _MOVES[parameter.kind](asked, parameter, by)


def value_of(asked: Asked, parameter: Parameter) -> float:
    """The number as it stands (the mean, where it stands for several or for a profile)."""
    return _VALUES[parameter.kind](asked, parameter)


def towards_sheet(train: Train) -> dict[int, int]:
    """For each nip the side (0: ``a``, 1: ``b``) nearer to the sheet, counted in nips.

    Where both are equally near it is the one farther from the feeds; a nip in which that is equal too is left out:
    neither of its sides is down the train.
    """
    near = _distances(train, [train.sheet[0]] if train.sheet else [])
    far = _distances(train, [feed.loop for feed in train.feeds])
    sides = {}
    for number, nip in enumerate(train.nips):
        a, b = ((near[loop], -far[loop]) for loop in (nip.a, nip.b))
        if a != b:
            sides[number] = 0 if a < b else 1
    return sides


def _distances(train: Train, start: list[int]) -> list[int]:
    """Nips between each loop and the nearest of ``start``."""
    away = dict.fromkeys(start, 0)
    edge = list(start)
    while edge:
        loop = edge.pop(0)
        for nip in train.nips:
            if loop in (nip.a, nip.b):
                other = nip.a + nip.b - loop
                if other not in away:
                    away[other] = away[loop] + 1
                    edge.append(other)
    return [away.get(loop, len(train.loops)) for loop in range(len(train.loops))]


def _named(parameter: Parameter, found: list[str]) -> list[int]:
    """Numbers of the things a parameter is about."""
    numbers = [i for i, id in enumerate(found) if parameter.name in ("", id)]
    if not numbers:
        raise ValueError(f"there is no {parameter.kind.value} called {parameter.name!r}: there are {found}")
    return numbers


def _nips_of(asked: Asked, parameter: Parameter) -> list[int]:
    return _named(parameter, [nip.id for nip in asked.train.nips])


def _feeds_of(asked: Asked, parameter: Parameter) -> list[int]:
    return _named(parameter, [feed.id for feed in asked.train.feeds])


def _with_nips(asked: Asked, change: Callable[[int, CellNip], CellNip]) -> Asked:
    nips = tuple(change(number, nip) for number, nip in enumerate(asked.train.nips))
    return replace(asked, train=replace(asked.train, nips=nips))


def _split(asked: Asked, parameter: Parameter, by: float) -> Asked:
    sides, numbers = _sided(asked, parameter)

    def change(number: int, nip: CellNip) -> CellNip:
        if number not in numbers:
            return nip
        return replace(nip, share=nip.share + (by if sides[number] == 0 else -by))

    return _with_nips(asked, change)


def _sided(asked: Asked, parameter: Parameter) -> tuple[dict[int, int], set[int]]:
    sides = towards_sheet(asked.train)
    numbers = set(_nips_of(asked, parameter)) & set(sides)
    if not numbers:
        raise ValueError(f"in {parameter.name!r} neither side is nearer to the sheet: its split has no direction")
    return sides, numbers


def _split_value(asked: Asked, parameter: Parameter) -> float:
    sides, numbers = _sided(asked, parameter)
    nips = asked.train.nips
    return float(np.mean([nips[i].share if sides[i] == 0 else 1.0 - nips[i].share for i in sorted(numbers)]))


def _contact(asked: Asked, parameter: Parameter, by: float) -> Asked:
    numbers = set(_nips_of(asked, parameter))
    even = np.ones(asked.train.grid.columns)

    def change(number: int, nip: CellNip) -> CellNip:
        return replace(nip, contact=(even if nip.contact is None else nip.contact) + by) if number in numbers else nip

    return _with_nips(asked, change)


def _contact_value(asked: Asked, parameter: Parameter) -> float:
    nips = asked.train.nips
    return float(np.mean([1.0 if (c := nips[i].contact) is None else c.mean() for i in _nips_of(asked, parameter)]))


def _transfer(asked: Asked, parameter: Parameter, by: float) -> Asked:
    return replace(asked, demand=replace(asked.demand, transfer=FixedShare(tau=_tau(asked, parameter) + by)))


def _tau(asked: Asked, parameter: Parameter) -> float:
    transfer = asked.demand.transfer
    if not isinstance(transfer, FixedShare) or parameter.name:
        raise ValueError("only a fixed share on the sheet has one transfer to move, and it has no name")
    return transfer.tau


def _key_film(asked: Asked, parameter: Parameter, by: float) -> Asked:
    films: dict[str, float | Array] = dict(asked.demand.films_um)
    for number in _feeds_of(asked, parameter):
        id = asked.train.feeds[number].id
        film = np.array(np.broadcast_to(films.get(id, 0.0), (asked.train.grid.columns,)), dtype=np.float64)
        film[slice(*(parameter.columns or (0, film.size)))] += by
        films[id] = film
    return replace(asked, demand=replace(asked.demand, films_um=films))


def _key_film_value(asked: Asked, parameter: Parameter) -> float:
    columns = asked.train.grid.columns
    across = slice(*(parameter.columns or (0, columns)))
    ids = [asked.train.feeds[i].id for i in _feeds_of(asked, parameter)]
    return float(np.mean([np.broadcast_to(asked.demand.films_um.get(id, 0.0), (columns,))[across] for id in ids]))


def _ductors(asked: Asked, parameter: Parameter) -> list[int]:
    numbers = [i for i in _feeds_of(asked, parameter) if asked.train.feeds[i].ductor is not None]
    if not numbers:
        raise ValueError(f"no feed called {parameter.name!r} has a ductor")
    return numbers


def _sweep(asked: Asked, parameter: Parameter, by: float) -> Asked:
    sweeps = dict(asked.demand.sweeps_mm)
    for number in _ductors(asked, parameter):
        id = asked.train.feeds[number].id
        sweeps[id] = sweeps.get(id, 0.0) + by
    return replace(asked, demand=replace(asked.demand, sweeps_mm=sweeps))


def _sweep_value(asked: Asked, parameter: Parameter) -> float:
    ids = [asked.train.feeds[i].id for i in _ductors(asked, parameter)]
    return float(np.mean([asked.demand.sweeps_mm.get(id, 0.0) for id in ids]))


def _dwell(asked: Asked, parameter: Parameter, by: float) -> Asked:
    """A dwell is whole steps: ``by`` counts in whole cells, and must be at least one."""
    steps = asked.train.grid.cells(by)
    if steps == 0 and by != 0:
        raise ValueError("a dwell moves by whole cells: move it by one at least")
    feeds = list(asked.train.feeds)
    for number in _ductors(asked, parameter):
        ductor = feeds[number].ductor
        assert ductor is not None
        feeds[number] = replace(feeds[number], ductor=replace(ductor, dwell_train=ductor.dwell_train + steps))
    return replace(asked, train=replace(asked.train, feeds=tuple(feeds)))


def _dwell_value(asked: Asked, parameter: Parameter) -> float:
    ductors = [asked.train.feeds[i].ductor for i in _ductors(asked, parameter)]
    return float(np.mean([d.dwell_train * asked.train.grid.round_mm for d in ductors if d is not None]))


def _swinging(asked: Asked, parameter: Parameter) -> list[int]:
    loops = asked.train.loops
    numbers = [i for i in _named(parameter, [loop.id for loop in loops]) if loops[i].swing is not None]
    if not numbers:
        raise ValueError(f"no loop called {parameter.name!r} oscillates")
    return numbers


def _stroke(asked: Asked, parameter: Parameter, by: float) -> Asked:
    loops = list(asked.train.loops)
    for number in _swinging(asked, parameter):
        swing = loops[number].swing
        assert swing is not None
        half = swing.half_stroke + by / 2 / asked.train.grid.across_mm
        loops[number] = replace(loops[number], swing=replace(swing, half_stroke=half))
    return replace(asked, train=replace(asked.train, loops=tuple(loops)))


def _stroke_value(asked: Asked, parameter: Parameter) -> float:
    swings = [asked.train.loops[i].swing for i in _swinging(asked, parameter)]
    return float(np.mean([2 * s.half_stroke * asked.train.grid.across_mm for s in swings if s is not None]))


_MOVES: dict[ParameterKind, Callable[[Asked, Parameter, float], Asked]] = {
    ParameterKind.SPLIT: _split,
    ParameterKind.TRANSFER: _transfer,
    ParameterKind.KEY_FILM: _key_film,
    ParameterKind.SWEEP: _sweep,
    ParameterKind.CONTACT: _contact,
    ParameterKind.STROKE: _stroke,
    ParameterKind.DWELL: _dwell,
}

_VALUES: dict[ParameterKind, Callable[[Asked, Parameter], float]] = {
    ParameterKind.SPLIT: _split_value,
    ParameterKind.TRANSFER: _tau,
    ParameterKind.KEY_FILM: _key_film_value,
    ParameterKind.SWEEP: _sweep_value,
    ParameterKind.CONTACT: _contact_value,
    ParameterKind.STROKE: _stroke_value,
    ParameterKind.DWELL: _dwell_value,
}


def parameters_of(train: Train) -> tuple[Parameter, ...]:
    """Every number of a train that a forecast commonly rests on: each nip's split and contact, the rest together."""
    kind = ParameterKind
    sides = towards_sheet(train)
    found = [Parameter(kind=kind.SPLIT, name=nip.id) for i, nip in enumerate(train.nips) if i in sides]
    found += [Parameter(kind=kind.CONTACT, name=nip.id) for nip in train.nips]
    found += [Parameter(kind=kind.TRANSFER), Parameter(kind=kind.KEY_FILM)]
    if train.ductor_of:
        found += [Parameter(kind=kind.SWEEP), Parameter(kind=kind.DWELL)]
    if any(loop.swing is not None for loop in train.loops):
        found.append(Parameter(kind=kind.STROKE))
    return tuple(found)
