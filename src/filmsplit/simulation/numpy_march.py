"""Marching with NumPy: nip by nip, as many steps at a time as no arc is shorter than."""

from __future__ import annotations

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.simulation.exchange import Room, form, form_badly, form_sideways, roll, roll_badly, roll_sideways
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.runs import Sideways, Stretch, sideways, stretches
from filmsplit.simulation.train import CellNip, NipKind
from filmsplit.simulation.work import Segment, Work, segments, spread

CELLS_AT_ONCE = 1 << 15
"""More cells at a time do not stay in the cache from one operation of NumPy to the next."""


class NumpyMarch:
    """One march in NumPy. It writes into the arrays of ``work``."""

    def __init__(self, work: Work) -> None:
        train = work.train
        columns = train.grid.columns
        self._work, self._train = work, train
        self._surfaces = work.surfaces(0, columns)
        self._block = max(1, min(train.block, CELLS_AT_ONCE // columns))
        self._room = Room(self._block, self._surfaces[0].shape[1], dtype=train.dtype)
        self._image = spread(work.loaded.image)
        self._first = 0
        self._shifts: dict[int, Sideways] = {}

    def march(self, last: int) -> None:
        """March to the step ``last``, whole revolutions."""
        rows = self._train.grid.rows
        for begin in range(self._work.before.step, last, rows):
            self._place(begin)
            for segment in segments(self._train, begin, begin + rows):
                self._segment(segment)
        columns = self._train.grid.columns
        self._work.pack([surface[:, :columns] for surface in self._surfaces], last, first=0)

    def _place(self, step: int) -> None:
        """How surfaces stand to each other sideways during a revolution, by the number of the work between them."""
        loops, rows = self._train.loops, self._train.grid.rows
        pairs = [(loops[nip.a].swing, loops[nip.b].swing) for nip in self._train.nips]
        pairs += [(loops[feed.loop].swing, None) for feed in self._train.feeds]
        self._first = step
        self._shifts = {i: sideways(a, b, start=step, steps=rows) for i, (a, b) in enumerate(pairs) if a != b}

    def _segment(self, segment: Segment) -> None:
        for number in segment.sweeping:
            self._sweep(number, segment.first)
        numbers = [number for number in self._train.order if self._worked(number, segment)]
        for step in range(segment.first, segment.end, self._block):
            end = min(step + self._block, segment.end)
            for number in numbers:
                self._do(number, step, end=end)
            self._watch_ductors(end - step)
            self._work.turn(end - step, resting=segment.resting)

    def _worked(self, number: int, segment: Segment) -> bool:
        """Whether a piece of work is done throughout a segment."""
        nips, feeds = self._train.nips, self._train.feeds
        if number < len(nips):
            nip = nips[number]
            return number not in self._work.open_nips and not {nip.a, nip.b} & segment.resting
        if number < len(nips) + len(feeds):
            return feeds[number - len(nips)].ductor is None
        return self._work.loaded.running.sheets

    def _do(self, number: int, step: int, *, end: int) -> None:
        nips, feeds = len(self._train.nips), len(self._train.feeds)
        if number < nips:
            self._nip(number, step, end=end)
        elif number < nips + feeds:
            self._feed(number - nips, step, end=end)
        else:
            self._take(step, end)

    def _nip(self, number: int, step: int, *, end: int) -> None:
        nip, places, watched = self._train.nips[number], self._shifts.get(number), self._work.watched
        a, b = self._train.loops[nip.a], self._train.loops[nip.b]
        turned = self._work.turned
        starts = turned.get(nip.a, step) - nip.at_a, turned.get(nip.b, step) - nip.at_b
        if places is not None:
            places = places.during(step - self._first, end - self._first)
        cuts = () if places is None else places.cuts
        for run in stretches(*starts, around=(a.cells, b.cells), steps=end - step, cuts=cuts):
            films = self._surfaces[nip.a][run.rows_a], self._surfaces[nip.b][run.rows_b]
            if watched is not None:
                weights = _weights(self._work, nip, run=run)
                watched.weight[number] += [weight.sum(axis=0, dtype=np.float64) for weight in weights]
                watched.arriving[number] += _inks(films, weights)
            if places is None:
                self._straight(nip, run, films=films)
            else:
                self._slide(nip, run, films=films, places=places)
            if watched is not None:
                watched.leaving[number] += _inks(films, weights)

    def _straight(self, nip: CellNip, run: Stretch, *, films: tuple[Array, Array]) -> None:
        """A nip whose surfaces do not move sideways against each other."""
        a, b = self._train.loops[nip.a], self._train.loops[nip.b]
        face = slice(max(a.first, b.first), max(min(a.end, b.end), a.first, b.first))
        contact = None if nip.contact is None else nip.contact[face]
        if contact is None and a.face == b.face == (0, self._train.grid.columns):
            face = slice(None)  # with the zeros beside them, so that rows lie one after another
        films_a, films_b = films[0][:, face], films[1][:, face]
        if nip.kind is NipKind.FORM:
            cover, image = self._work.cover[run.rows_b, face], self._image[run.rows_b, face]
            if contact is None:
                form(films_a, films_b, share=nip.share, cover=cover, image=image, room=self._room)
            else:
                form_badly(
                    films_a, films_b, share=nip.share, cover=cover, image=image, contact=contact, room=self._room
                )
        elif contact is None:
            roll(films_a, films_b, share=nip.share, room=self._room)
        else:
            roll_badly(films_a, films_b, share=nip.share, contact=contact, room=self._room)

    def _slide(self, nip: CellNip, run: Stretch, *, films: tuple[Array, Array], places: Sideways) -> None:
        """A nip whose surfaces stand sideways to each other."""
        faces = self._train.loops[nip.a].face, self._train.loops[nip.b].face
        pieces = places.pieces(run, face_a=faces[0], face_b=faces[1], contact=nip.contact)
        if nip.kind is NipKind.FORM:
            cover, image = self._work.cover[run.rows_b], self._image[run.rows_b]
            form_sideways(*films, share=nip.share, cover=cover, image=image, pieces=pieces, room=self._room)
        else:
            roll_sideways(*films, share=nip.share, pieces=pieces, room=self._room)

    def _feed(self, number: int, step: int, *, end: int) -> None:
        """A feed that goes on all the time: exchange with a supply that is made up at once."""
        feed = self._train.feeds[number]
        loop, films = self._train.loops[feed.loop], self._surfaces[feed.loop]
        fed = self._work.fed[self._work.revolution(step)]
        share = feed.supply.train_share
        volume = share * self._work.loaded.supplies[number]
        places = self._shifts.get(len(self._train.nips) + number)
        if places is not None:
            places = places.during(step - self._first, end - self._first)
        cuts = () if places is None else places.cuts
        for run in stretches(step - feed.at, 0, around=(loop.cells, end - step), steps=end - step, cuts=cuts):
            rows = films[run.rows_a]
            if places is None:
                face = slice(feed.first, feed.end)
                gain = volume[face] - (1.0 - share) * rows[:, face]
                rows[:, face] += gain
                fed[face] += gain.sum(axis=0)
                continue
            pieces = places.pieces(run, face_a=loop.face, face_b=(feed.first, feed.end))
            gains = [p.area * (volume[p.b] - (1.0 - share) * rows[:, p.a]) for p in pieces]
            for piece, gain in zip(pieces, gains, strict=True):
                rows[:, piece.a] += gain
                fed[piece.b] += gain.sum(axis=0)

    def _sweep(self, number: int, step: int) -> None:
        """The ductor's dwell on the fountain, all at once: its surface meets nothing else meanwhile.

        Exactly the sweep goes through, the last cell in part; the ductor then stands at the nearest whole cell.
        """
        feed = self._train.feeds[number]
        loop, films = self._train.loops[feed.loop], self._surfaces[feed.loop]
        (whole, part), face = self._work.sweep(number), slice(feed.first, feed.end)
        fed = self._work.fed[self._work.revolution(step)]
        share, volume = feed.supply.train_share, self._work.loaded.supplies[number][face]
        row, left = (self._work.turned[feed.loop] - feed.at) % loop.cells, whole
        while left > 0:
            length = min(left, loop.cells - row)
            rows = films[row : row + length, face]
            gain = share * volume - (1.0 - share) * rows
            rows += gain
            fed[face] += gain.sum(axis=0)
            row, left = (row + length) % loop.cells, left - length
        gain = part * (share * volume - (1.0 - share) * films[row, face])
        films[row, face] += gain
        fed[face] += gain
        self._work.swept(number)

    def _take(self, step: int, end: int) -> None:
        """The sheet takes its part of the blanket's film."""
        work, train = self._work, self._train
        assert train.sheet is not None
        loop, at = train.sheet
        printed = work.printed[work.revolution(step)]
        rows = train.grid.rows
        for run in stretches(step - at, step - at + train.blanket_lead, around=(rows, rows), steps=end - step):
            films = self._surfaces[loop][run.rows_a, : train.grid.columns]
            taken = work.loaded.transfer.taken_um(films)
            if work.loaded.takes is not None:
                taken = taken * work.loaded.takes[run.rows_b]
            films -= taken
            work.sheet[run.rows_b] = taken
            if work.watched is not None:
                work.watched.sheet[run.rows_b] += taken
            printed += np.einsum("ij,ij->j", taken, work.loaded.cover[run.rows_b], dtype=np.float64)

    def _watch_ductors(self, steps: int) -> None:
        if self._work.watched is not None:
            for loop in self._work.watched.ductors:
                films = self._surfaces[loop][:, : self._train.grid.columns]
                mean = films.mean(axis=0, dtype=np.float64)
                self._work.watched.ductors[loop] += mean * steps


def _weights(work: Work, nip: CellNip, *, run: Stretch) -> list[Array]:
    """Weight of each cell that passes a nip, for both sides: 1, or its coverage on plate and blanket."""
    train, weights = work.train, []
    for loop, rows in ((nip.a, run.rows_a), (nip.b, run.rows_b)):
        role = train.loops[loop].role
        if role is LoopRole.ROLLER:
            weights.append(np.ones((rows.stop - rows.start, train.grid.columns)))
        else:
            lead = train.blanket_lead if role is LoopRole.BLANKET else 0
            places = range(rows.start + lead, rows.stop + lead)
            weights.append(np.take(work.loaded.cover, places, axis=0, mode="wrap"))
    return weights


def _inks(films: tuple[Array, Array], weights: list[Array]) -> list[Array]:
    """Films times weights, summed by column."""
    return [
        np.einsum("ij,ij->j", film[:, : weight.shape[1]], weight, dtype=np.float64)
        for film, weight in zip(films, weights, strict=True)
    ]
