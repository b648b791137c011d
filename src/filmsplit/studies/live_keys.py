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
from filmsplit.simulation.settle import settle
from filmsplit.simulation.state import State, empty
from filmsplit.studies.live_cells import LiveTrain

SOLVED = 5
"""Sweeps at which the print is settled, the planned one among them; it is read between."""

Films = NDArray[np.float32]
Levels = Callable[[float], Array]
Going = Callable[[], bool]
"""Whether somebody still wants it."""


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
    where ``going`` said no between two keys, ``ValueError`` where the law on the sheet is not linear.
    """
    fields = []
    for field in _fields(live, films_um, sweep_mm=sweep_mm):
        if not going():
            raise NoLongerWantedError
        fields.append(field)
    return LiveKeys(
        live=live,
        fields=np.array(fields, dtype=np.float32),
        sweep_mm=sweep_mm,
        level=None if sweep_mm is None else _levels(live, films_um, sweep_mm=sweep_mm, sweeps_mm=sweeps_mm),
    )


def _fields(live: LiveTrain, films_um: Array, *, sweep_mm: float | None) -> Iterator[Array]:
    train, whole = live.zoned.train, live.keyed(films_um, sweep_mm)
    linear = LinearPeriod(train, whole)
    mean_um = settle(train, whole, accuracy=live.cells.accuracy, throw=True).answers
    assert mean_um is not None
    # Each key within its part of what all together may be off.
    within_um = live.cells.accuracy * mean_um.sheet_mean_um / max(float(films_um.max(initial=0.0)), 1e-9)
    for zone in range(len(films_um)):
        one = live.keyed(np.eye(len(films_um))[zone], sweep_mm)
        first = march(train, one, state=empty(train), revolutions=linear.revolutions)
        answer = linear.answer(first.state.films, within_um=within_um)
        if not answer.settled:
            raise NotAnsweredError(answer)
        last = march(train, one, state=State(0, answer.films), revolutions=linear.revolutions, watch=True)
        assert last.passing is not None
        yield np.asarray(last.passing.sheet_um[live.sheet])


def _levels(live: LiveTrain, films_um: Array, *, sweep_mm: float, sweeps_mm: Sequence[float]) -> Levels | None:
    """The print at other sweeps over that at ``sweep_mm``, on a curve that rises where they rise."""
    at = _few(sweeps_mm, sweep_mm)
    if len(at) < 2:
        return None
    from scipy.interpolate import PchipInterpolator  # noqa: PLC0415  (heavy)

    prints = np.array([_print(live, films_um, sweep_mm=sweep) for sweep in at])
    whole = prints[at.index(sweep_mm)]
    ratios = np.divide(prints, whole, out=np.ones(prints.shape), where=whole > 0)
    curve = PchipInterpolator(at, ratios, axis=0)
    return lambda sweep: np.asarray(curve(np.clip(sweep, at[0], at[-1])), dtype=np.float32)


def _few(sweeps_mm: Sequence[float], sweep_mm: float) -> list[float]:
    """Sweeps over the whole range, nearer together where they are small, and the planned one."""
    able = np.array(sorted(sweeps_mm))
    wanted = np.geomspace(able[0], able[-1], SOLVED - 1) if able.size else able
    found = {float(able[int(np.argmin(np.abs(able - each)))]) for each in wanted}
    return sorted({each for each in found if abs(each - sweep_mm) > 1e-6} | {sweep_mm})


def _print(live: LiveTrain, films_um: Array, *, sweep_mm: float) -> Array:
    solution = settle(live.zoned.train, live.keyed(films_um, sweep_mm), accuracy=live.cells.accuracy, throw=True)
    assert solution.sheet_um is not None
    return np.asarray(solution.sheet_um[live.sheet], dtype=np.float64)
