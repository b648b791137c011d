"""Marching: the train turned step by step, many steps at a time.

Budget and print are summed from what is moved at feeds and at the sheet, never from the films.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.demand import Demand, Loaded, is_open, load
from filmsplit.simulation.exchange import form, form_badly, form_sideways, roll, roll_badly, roll_sideways
from filmsplit.simulation.native_march import NativeMarch
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.runs import Stretch, sideways, stretches
from filmsplit.simulation.state import State, stored_um_mm2
from filmsplit.simulation.train import CellNip, NipKind, Train


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Passing:
    """What passed while watched, by nip, side (a, b) and column: ink sums arriving and leaving, and their weights.

    A film is ink over weight: steps on a roller, steps times coverage on plate and blanket. ``ductors`` holds the
    mean film of each ductor by column.
    """

    arriving: Array
    leaving: Array
    weight: Array
    sheet_um: Array
    ductors: dict[int, Array]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marched:
    """A march: where the ink is now, and what came in and went out.

    ``fed`` and ``printed`` are by revolution and column, in um x cells. ``sheet_um`` is the film per image area on
    the last sheet, by plate row and column.
    """

    state: State
    fed: Array
    printed: Array
    sheet_um: Array
    image_cells: float
    cell_mm2: float
    stored_before_um_mm2: float
    stored_after_um_mm2: float
    passing: Passing | None = None

    @property
    def fed_um_mm2(self) -> float:
        return float(self.fed.sum()) * self.cell_mm2

    @property
    def printed_um_mm2(self) -> float:
        return float(self.printed.sum()) * self.cell_mm2

    @property
    def sheet_means_um(self) -> Array:
        """Mean film per image area of each revolution's print; 0 where nothing is to be printed."""
        return np.asarray(self.printed.sum(axis=1) / max(self.image_cells, 1e-300))

    @property
    def budget_gap_um_mm2(self) -> float:
        """Fed less printed less the change of what is stored: rounding, if no ink is lost."""
        return self.fed_um_mm2 - self.printed_um_mm2 - (self.stored_after_um_mm2 - self.stored_before_um_mm2)


def march(  # noqa: PLR0913  (all but two are named and have defaults)
    train: Train, demand: Demand, *, state: State, revolutions: int, watch: bool = False, native: bool = True
) -> Marched:
    """Turn the train for whole revolutions of the plate from ``state``, which is left as it is.

    ``watch`` also sums the films passing every nip. The C kernel is used where it was built and knows the laws asked
    for; ``native=False`` marches with NumPy all the same.
    """
    loaded = load(train, demand)
    work = _work(train, loaded, state=state, revolutions=revolutions, watch=watch)
    last = state.step + revolutions * train.grid.rows
    if native and NativeMarch.possible(work):
        _march_native(work, last)
    else:
        _march_numpy(work, last)
    after = _packed(work, last)
    return Marched(
        state=after,
        fed=work.fed,
        printed=work.printed,
        sheet_um=work.sheet,
        image_cells=float(loaded.cover.sum(dtype=np.float64)),
        cell_mm2=train.grid.cell_mm2,
        stored_before_um_mm2=stored_um_mm2(train, state, loaded.cover),
        stored_after_um_mm2=stored_um_mm2(train, after, loaded.cover),
        passing=work.passing(revolutions),
    )


@dataclass(slots=True, kw_only=True, eq=False)
class Work:
    """What changes while marching, for the kernels only.

    Surfaces hold row ``travel - place``; a ductor's travel is its own (``turned``).
    """

    train: Train
    loaded: Loaded
    first_step: int
    surfaces: list[Array]
    turned: dict[int, int]
    fed: Array
    printed: Array
    sheet: Array
    blanket_cover: Array
    blanket_takes: Array | None
    watched: _Watched | None
    open_nips: frozenset[int] = field(default_factory=frozenset)

    def passing(self, revolutions: int) -> Passing | None:
        seen = self.watched
        if seen is None:
            return None
        steps = revolutions * self.train.grid.rows
        return Passing(
            arriving=seen.arriving,
            leaving=seen.leaving,
            weight=seen.weight,
            sheet_um=seen.sheet / revolutions,
            ductors={loop: films / steps for loop, films in seen.ductors.items()},
        )


@dataclass(slots=True, kw_only=True, eq=False)
class _Watched:
    arriving: Array
    leaving: Array
    weight: Array
    sheet: Array
    ductors: dict[int, Array]

    @classmethod
    def of(cls, train: Train) -> _Watched:
        shape = (len(train.nips), 2, train.grid.columns)
        return cls(
            arriving=np.zeros(shape),
            leaving=np.zeros(shape),
            weight=np.zeros(shape),
            sheet=np.zeros((train.grid.rows, train.grid.columns)),
            ductors={loop: np.zeros(train.grid.columns) for loop in train.ductor_of},
        )


def _work(train: Train, loaded: Loaded, *, state: State, revolutions: int, watch: bool) -> Work:
    ductors = train.ductor_of
    surfaces = []
    for i, loop in enumerate(train.loops):
        rows = state.films[loop.rows]
        surfaces.append(np.roll(rows, 0 if i in ductors else state.step, axis=0))
    columns, lead = train.grid.columns, train.blanket_lead
    return Work(
        train=train,
        loaded=loaded,
        first_step=state.step,
        surfaces=surfaces,
        turned=dict.fromkeys(ductors, 0),
        fed=np.zeros((revolutions, columns)),
        printed=np.zeros((revolutions, columns)),
        sheet=np.zeros((train.grid.rows, columns), dtype=train.dtype),
        blanket_cover=np.roll(loaded.cover, -lead, axis=0),
        blanket_takes=None if loaded.takes is None else np.roll(loaded.takes, -lead, axis=0),
        watched=_Watched.of(train) if watch else None,
        open_nips=frozenset(i for i, nip in enumerate(train.nips) if is_open(train, nip, running=loaded.running)),
    )


def _packed(work: Work, step: int) -> State:
    """Surfaces back in the order that does not depend on how far they have turned."""
    films = np.empty((work.train.cells, work.train.grid.columns), dtype=work.train.dtype)
    for i, (loop, surface) in enumerate(zip(work.train.loops, work.surfaces, strict=True)):
        films[loop.rows] = np.roll(surface, -work.turned.get(i, step), axis=0)
    return State(step, films)


def _march_numpy(work: Work, last: int) -> None:
    step = work.first_step
    while step < last:
        end = _next_stop(work, step, min(last, step + work.train.block))
        _sweeps(work, step)
        resting = _resting(work, step)
        _block(work, step, end, resting=resting)
        _turn(work, end - step, resting=resting)
        step = end


def _march_native(work: Work, last: int) -> None:
    kernel = NativeMarch(work)
    step = work.first_step
    while step < last:
        end = _next_stop(work, step, last)
        _sweeps(work, step)
        resting = _resting(work, step)
        kernel.stretch(step, end, resting=resting)
        _turn(work, end - step, resting=resting)
        step = end
    kernel.finish()


def _next_stop(work: Work, step: int, last: int) -> int:
    """The next step, no later than ``last``, at which a revolution ends or a ductor changes over."""
    rows = work.train.grid.rows
    end = min(last, (step // rows + 1) * rows)
    for ductor in work.train.ductor_of.values():
        cycle = ductor.cycle_at(step)
        stops = (ductor.begin(cycle + 1), ductor.sweep_at(cycle), *ductor.train_dwell(cycle))
        end = min([end, *(stop for stop in stops if stop > step)])
    return end


def _sweeps(work: Work, step: int) -> None:
    for i, feed in enumerate(work.train.feeds):
        if feed.ductor is not None and feed.ductor.sweep_at(feed.ductor.cycle_at(step)) == step:
            _sweep(work, i, step)


def _resting(work: Work, step: int) -> set[int]:
    """Ductors that are not on the train: they stand still."""
    dwells = {loop: ductor.train_dwell(ductor.cycle_at(step)) for loop, ductor in work.train.ductor_of.items()}
    return {loop for loop, dwell in dwells.items() if not _on_train(dwell, step)}


def _turn(work: Work, steps: int, *, resting: set[int]) -> None:
    for loop in work.turned:
        if loop not in resting:
            work.turned[loop] += steps


def _block(work: Work, step: int, end: int, *, resting: set[int]) -> None:
    nips, feeds = len(work.train.nips), len(work.train.feeds)
    for number in work.train.order:
        if number < nips:
            nip = work.train.nips[number]
            if number not in work.open_nips and nip.a not in resting and nip.b not in resting:
                _nip(work, number, step=step, end=end)
        elif number < nips + feeds:
            if work.train.feeds[number - nips].ductor is None:
                _feed(work, number - nips, step=step, end=end)
        elif work.loaded.running.sheets:
            _take(work, step, end)
    if work.watched is not None:
        for loop in work.watched.ductors:
            work.watched.ductors[loop] += work.surfaces[loop].mean(axis=0, dtype=np.float64) * (end - step)


def _on_train(dwell: tuple[int, int], step: int) -> bool:
    return dwell[0] <= step < dwell[1]


def _nip(work: Work, number: int, *, step: int, end: int) -> None:
    nip = work.train.nips[number]
    a, b = work.train.loops[nip.a], work.train.loops[nip.b]
    start_a = work.turned.get(nip.a, step) - nip.at_a
    start_b = work.turned.get(nip.b, step) - nip.at_b
    swung = a.swing != b.swing
    places = sideways(a.swing, b.swing, start=step, steps=end - step) if swung else None
    cuts = places.cuts if places is not None else None
    for run in stretches(start_a, start_b, around=(a.cells, b.cells), steps=end - step, cuts=cuts):
        films_a, films_b = work.surfaces[nip.a][run.rows_a], work.surfaces[nip.b][run.rows_b]
        if work.watched is not None:
            weights = _weights(work, nip, run)
            work.watched.weight[number] += [np.sum(w, axis=0) for w in weights]
            work.watched.arriving[number] += _inks((films_a, films_b), weights)
        if places is not None:
            pieces = places.pieces(run, face_a=a.face, face_b=b.face, contact=nip.contact)
            if nip.kind is NipKind.FORM:
                cover = work.loaded.cover[run.rows_b]
                form_sideways(films_a, films_b, share=nip.share, cover=cover, pieces=pieces)
            else:
                roll_sideways(films_a, films_b, share=nip.share, pieces=pieces)
        else:
            _straight(work, nip, run, films=(films_a, films_b))
        if work.watched is not None:
            work.watched.leaving[number] += _inks((films_a, films_b), weights)


def _weights(work: Work, nip: CellNip, run: Stretch) -> list[Array]:
    """Weight of each cell that passes a nip, for both sides: 1, or its coverage on plate and blanket."""
    weights = []
    for loop, rows in ((nip.a, run.rows_a), (nip.b, run.rows_b)):
        role = work.train.loops[loop].role
        if role is LoopRole.ROLLER:
            weights.append(np.ones((rows.stop - rows.start, work.train.grid.columns)))
        else:
            weights.append(work.blanket_cover[rows] if role is LoopRole.BLANKET else work.loaded.cover[rows])
    return weights


def _inks(films: tuple[Array, Array], weights: list[Array]) -> list[Array]:
    return [np.einsum("ij,ij->j", film, weight, dtype=np.float64) for film, weight in zip(films, weights, strict=True)]


def _straight(work: Work, nip: CellNip, run: Stretch, *, films: tuple[Array, Array]) -> None:
    """A nip whose surfaces do not move sideways against each other."""
    a, b = work.train.loops[nip.a], work.train.loops[nip.b]
    face = slice(max(a.first, b.first), max(min(a.end, b.end), a.first, b.first))
    films_a, films_b = films[0][:, face], films[1][:, face]
    contact = None if nip.contact is None else nip.contact[face]
    if nip.kind is NipKind.FORM:
        cover = work.loaded.cover[run.rows_b, face]
        if contact is None:
            form(films_a, films_b, share=nip.share, cover=cover, image=work.loaded.image[run.rows_b, face])
        else:
            form_badly(films_a, films_b, share=nip.share, cover=cover, contact=contact)
    elif contact is None:
        roll(films_a, films_b, share=nip.share)
    else:
        roll_badly(films_a, films_b, share=nip.share, contact=contact)


def _feed(work: Work, number: int, *, step: int, end: int) -> None:
    """A feed that goes on all the time: exchange with a supply that is made up at once."""
    feed = work.train.feeds[number]
    loop, films = work.train.loops[feed.loop], work.surfaces[feed.loop]
    fed = work.fed[(step - work.first_step) // work.train.grid.rows]
    volume = feed.supply.train_share * work.loaded.supplies[number]
    places = sideways(loop.swing, None, start=step, steps=end - step) if loop.swing else None
    cuts = places.cuts if places is not None else None
    for run in stretches(step - feed.at, 0, around=(loop.cells, end - step), steps=end - step, cuts=cuts):
        rows = films[run.rows_a]
        if places is None:
            face = slice(feed.first, feed.end)
            gain = volume[face] - (1.0 - feed.supply.train_share) * rows[:, face]
            rows[:, face] += gain
            fed[face] += gain.sum(axis=0)
            continue
        pieces = places.pieces(run, face_a=loop.face, face_b=(feed.first, feed.end))
        gains = [p.area * (volume[p.b] - (1.0 - feed.supply.train_share) * rows[:, p.a]) for p in pieces]
        for piece, gain in zip(pieces, gains, strict=True):
            rows[:, piece.a] += gain
            fed[piece.b] += gain.sum(axis=0)


def _sweep(work: Work, number: int, step: int) -> None:
    """The ductor's dwell on the fountain, all at once: its surface meets nothing else meanwhile.

    Exactly the sweep goes through, the last cell in part; the ductor then stands at the nearest whole cell.
    """
    feed = work.train.feeds[number]
    loop, films = work.train.loops[feed.loop], work.surfaces[feed.loop]
    sweep, face = work.loaded.sweeps[number], slice(feed.first, feed.end)
    fed = work.fed[(step - work.first_step) // work.train.grid.rows]
    whole = int(sweep)
    share, volume = feed.supply.train_share, work.loaded.supplies[number][face]
    row, left = (work.turned[feed.loop] - feed.at) % loop.cells, whole
    while left > 0:
        length = min(left, loop.cells - row)
        rows = films[row : row + length, face]
        gain = share * volume - (1.0 - share) * rows
        rows += gain
        fed[face] += gain.sum(axis=0)
        row, left = (row + length) % loop.cells, left - length
    gain = (sweep - whole) * (share * volume - (1.0 - share) * films[row, face])
    films[row, face] += gain
    fed[face] += gain
    work.turned[feed.loop] += round(sweep)


def _take(work: Work, step: int, end: int) -> None:
    """The sheet takes its part of the blanket's film."""
    assert work.train.sheet is not None
    loop, at = work.train.sheet
    printed = work.printed[(step - work.first_step) // work.train.grid.rows]
    rows, lead = work.train.grid.rows, work.train.blanket_lead
    for run in stretches(step - at, step - at + lead, around=(rows, rows), steps=end - step):
        films = work.surfaces[loop][run.rows_a]
        taken = work.loaded.transfer.taken_um(films)
        if work.blanket_takes is not None:
            taken = taken * work.blanket_takes[run.rows_a]
        films -= taken
        work.sheet[run.rows_b] = taken
        if work.watched is not None:
            work.watched.sheet[run.rows_b] += taken
        printed += np.einsum("ij,ij->j", taken, work.blanket_cover[run.rows_a], dtype=np.float64)
