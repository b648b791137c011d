"""What each key prints on the sheet, solved once for a train; any setting of the keys is then a sum.

With a fixed share on the sheet the train is linear in the ink that is fed, so the settled film of the sheet is the sum,
over the zones, of what one micrometre in that zone alone prints, times the film there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.ink.splitting import Array
from filmsplit.simulation.linear import LinearPeriod, NotAnsweredError
from filmsplit.simulation.march import march
from filmsplit.simulation.solution import Solution
from filmsplit.simulation.state import State, empty
from filmsplit.studies.live_cells import LiveTrain

SOLVED = 5
"""Sweeps at which the print is settled, the planned one among them; it is read between."""

Films = NDArray[np.float32]
Levels = Callable[[float], Array]
Going = Callable[[], bool]
"""Whether somebody still wants it; asked after every period that is turned, and may take its time to answer."""


class NoLongerWantedError(Exception):
    """Raised where solving was stopped because nobody wants it any more."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LiveKeys:
    """``fields[j]`` is the film on the sheet, um per um of film in zone j, at ``sweep_mm``; ``level`` how much more or
    less each cell prints at other sweeps (``None`` where the feed has none)."""

    live: LiveTrain
    fields: Films
    sweep_mm: float | None
    level: Levels | None

    def film_um(self, films_um: Array, sweep_mm: float | None) -> Array:
        """The settled film of the sheet with these films in the zones. At another sweep than that of the fields the
        form of each key's print is taken to stay as it is (approximate; what rests is settled anew)."""
        film = np.tensordot(films_um.astype(self.fields.dtype), self.fields, axes=1)
        if self.level is None or sweep_mm is None or sweep_mm == self.sweep_mm:
            return np.asarray(film)
        return np.asarray(film * self.level(sweep_mm))


def live_keys(
    live: LiveTrain,
    films_um: Array,
    *,
    sweep_mm: float | None,
    sweeps_mm: Sequence[float],
    going: Going = lambda: True,
) -> LiveKeys:
    """Every key of a train solved, and the print of ``films_um`` at a few sweeps.

    :class:`NotAnsweredError` or :class:`NotSettledError` where a solve did not settle, :class:`NoLongerWantedError`
    where ``going`` said no, ``ValueError`` where the law on the sheet is not linear.
    """

    def between() -> None:
        if not going():
            raise NoLongerWantedError

    solver = _Solver(live, films_um, between)
    return LiveKeys(
        live=live,
        fields=np.array(list(solver.fields(sweep_mm)), dtype=np.float32),
        sweep_mm=sweep_mm,
        level=None if sweep_mm is None else solver.levels(sweep_mm, sweeps_mm),
    )


@dataclass(frozen=True, slots=True)
class _Solver:
    """A train with films in its keys, and what is called between two periods."""

    live: LiveTrain
    films_um: Array
    between: Callable[[], None]

    def fields(self, sweep_mm: float | None) -> Iterator[Array]:
        """What one micrometre in each zone prints on the sheet."""
        live, train = self.live, self.live.zoned.train
        linear = LinearPeriod(train, live.keyed(self.films_um, sweep_mm))
        mean_um = self._settled(sweep_mm).answers
        assert mean_um is not None
        # Each key within its part of what all together may be off.
        within_um = live.cells.accuracy * mean_um.sheet_mean_um / max(float(self.films_um.max(initial=0.0)), 1e-9)
        for zone in range(len(self.films_um)):
            one = live.keyed(np.eye(len(self.films_um))[zone], sweep_mm)
            first = march(train, one, state=empty(train), revolutions=linear.revolutions)
            answer = linear.answer(first.state.films, within_um=within_um, between=self.between)
            if not answer.settled:
                raise NotAnsweredError(answer)
            last = march(train, one, state=State(0, answer.films), revolutions=linear.revolutions, watch=True)
            self.between()
            assert last.passing is not None
            yield np.asarray(last.passing.sheet_um[live.sheet])

    def levels(self, sweep_mm: float, sweeps_mm: Sequence[float]) -> Levels | None:
        """The print at other sweeps over that at ``sweep_mm``, on a curve that rises where they rise."""
        at = _few(sweeps_mm, sweep_mm)
        if len(at) < 2:
            return None
        from scipy.interpolate import PchipInterpolator  # noqa: PLC0415  (heavy)

        prints = np.array([self._print(sweep) for sweep in at])
        whole = prints[at.index(sweep_mm)]
        ratios = np.divide(prints, whole, out=np.ones(prints.shape), where=whole > 0)
        curve = PchipInterpolator(at, ratios, axis=0)
        return lambda sweep: np.asarray(curve(np.clip(sweep, at[0], at[-1])), dtype=np.float32)

    def _print(self, sweep_mm: float) -> Array:
        sheet_um = self._settled(sweep_mm).sheet_um
        assert sheet_um is not None
        return np.asarray(sheet_um[self.live.sheet], dtype=np.float64)

    def _settled(self, sweep_mm: float | None) -> Solution:
        return self.live.settled(self.films_um, sweep_mm, throw=True, progress=lambda *_: self.between())


def _few(sweeps_mm: Sequence[float], sweep_mm: float) -> list[float]:
    """Sweeps over the whole range, nearer together where they are small, and the planned one."""
    able = np.array(sorted(sweeps_mm))
    wanted = np.geomspace(able[0], able[-1], SOLVED - 1) if able.size else able
    found = {float(able[int(np.argmin(np.abs(able - each)))]) for each in wanted}
    return sorted({each for each in found if abs(each - sweep_mm) > 1e-6} | {sweep_mm})
