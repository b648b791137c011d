"""What was learned of a press, said key by key: numbers with intervals, keys that drift, keys nobody has learned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.messages import Problem
from filmsplit.setup.job_log import LoggedJob, middle_sweep_mm
from filmsplit.setup.key_scale import KeyScale, Origin
from filmsplit.setup.learn import NO_DRIFT_BELOW, Interval, Posterior, Priors, interval_of, posterior

COVERAGE = 0.8
"""Part of cases that an interval is meant to hold, unless the caller says otherwise."""

UNLEARNED = 0.9
"""A key whose deviation is still as unsure as this part of the spread of all keys has not been learned."""

DRIFTS_SURE = 3.0
DRIFTS_PART = 0.05
"""A key is named as drifting if it moved away from the others by more than this part over the jobs logged, and by more
than so many deviations of what is known of it: among twenty-four keys one in twenty logs then names a sound one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnedKey:
    """One key: film per division (um), the reading at which it is just closed, drift per job beside the other keys'
    (part), and whether the log says anything about it at all (else it has the press's mean)."""

    zone: int
    gain_um: Interval
    zero: Interval
    drift: Interval
    learned: bool
    drifting: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """``press_gain`` is the mean gain over the one thought of, ``sweep`` the exponent of the sweep beside the engine's,
    counted from ``middle_sweep_mm``; ``split`` is ``None`` where no job told how its print goes
    with it; where it is not, the gains belong to a train of that split."""

    keys: tuple[LearnedKey, ...]
    press_gain: Interval
    sweep: Interval | None
    split: Interval | None
    middle_sweep_mm: float | None
    jobs: int
    coverage: float
    scale: KeyScale
    notes: tuple[Problem, ...]

    @property
    def split_off(self) -> float:
        """How much larger the split is than an even one, as far as is known: what ``ZonedTrain.with_split`` takes."""
        return 0.0 if self.split is None else self.split.value - 0.5

    def scale_at(self, sweep_mm: float | None) -> KeyScale:
        """The keys as learned, at a sweep: what the sweep does beside the engine's forecast goes into the gains."""
        if self.sweep is None or self.middle_sweep_mm is None or sweep_mm is None:
            return self.scale
        factor = (sweep_mm / self.middle_sweep_mm) ** self.sweep.value
        return replace(self.scale, gains_um=tuple(gain * factor for gain in self.scale.gains_um))


def learn(
    jobs: Sequence[LoggedJob],
    *,
    scale: KeyScale,
    coupling: float,
    priors: Priors | None = None,
    coverage: float = COVERAGE,
) -> Learned:
    """Learn a press from its log, oldest job first.

    ``scale`` is what was thought of the keys, ``coupling`` the blade's. ``ValueError`` as in ``posterior``.
    """
    found = posterior(jobs, scale=scale, coupling=coupling, priors=priors)
    keys = tuple(_keys(found, scale, jobs=len(jobs), coverage=coverage))
    cov, guess = found.covariance, found.guess
    press = interval_of(guess.press, cov[0, 0], coverage=coverage)
    swept = len({job.sweep_mm for job in jobs if job.sweep_mm is not None}) > 1
    split = any(job.split is not None for job in jobs)
    return Learned(
        keys=keys,
        press_gain=Interval(value=np.exp(press.value), low=np.exp(press.low), high=np.exp(press.high)),
        sweep=interval_of(guess.sweep, cov[1, 1], coverage=coverage) if swept else None,
        split=interval_of(0.5 + guess.split, cov[2, 2], coverage=coverage) if split else None,
        middle_sweep_mm=middle_sweep_mm(jobs),
        jobs=len(jobs),
        coverage=coverage,
        scale=_scale(keys, scale, jobs=len(jobs)),
        notes=tuple(_notes(keys, found, jobs)),
    )


def _keys(found: Posterior, scale: KeyScale, *, jobs: int, coverage: float) -> Iterator[LearnedKey]:
    cov, guess, count = found.covariance, found.guess, len(scale.zeros)
    drifts = guess.drifts - np.median(guess.drifts)
    for key in range(count):
        gain, zero, drift = 3 + key, 3 + count + key, 3 + 2 * count + key
        log_gain = guess.press + guess.gains[key]
        variance = cov[0, 0] + cov[gain, gain] + 2 * cov[0, gain]
        ends = interval_of(log_gain, variance, coverage=coverage)
        value, low, high = (float(scale.gains_um[key] * np.exp(each)) for each in (ends.value, ends.low, ends.high))
        sure = abs(drifts[key]) > DRIFTS_SURE * np.sqrt(cov[drift, drift])
        yield LearnedKey(
            zone=key + 1,
            gain_um=Interval(value=value, low=low, high=high),
            zero=interval_of(scale.zeros[key] + guess.zeros[key], cov[zero, zero], coverage=coverage),
            drift=interval_of(float(drifts[key]), cov[drift, drift], coverage=coverage),
            learned=bool(np.sqrt(cov[gain, gain]) < UNLEARNED * found.gain_spread),
            drifting=bool(jobs >= NO_DRIFT_BELOW and sure and abs(drifts[key]) * (jobs - 1) > DRIFTS_PART),
        )


def _scale(keys: tuple[LearnedKey, ...], scale: KeyScale, *, jobs: int) -> KeyScale:
    """The scale with what was learned; a key that drifts counts as it is now, not as it was on average."""
    since = (jobs - 1) / 2
    return replace(
        scale,
        zeros=tuple(key.zero.value for key in keys),
        gains_um=tuple(key.gain_um.value * np.exp(since * key.drift.value * key.drifting) for key in keys),
        origin=Origin.LEARNED,
    )


def _notes(keys: tuple[LearnedKey, ...], found: Posterior, jobs: Sequence[LoggedJob]) -> Iterator[Problem]:
    """Keys to look at, and readings that did not fit."""
    for key in keys:
        if key.drifting:
            values = {"zone": key.zone, "percent": 100 * key.drift.value * (len(jobs) - 1), "jobs": len(jobs)}
            yield Problem("setup-key-drifts", values)
    unlearned = [str(key.zone) for key in keys if not key.learned]
    if unlearned:
        yield Problem("setup-keys-unlearned", {"zones": ", ".join(unlearned)})
    odd = int(np.sum(found.weights < 0.5))
    if odd:
        yield Problem("setup-readings-odd", {"count": odd, "readings": found.weights.size})
