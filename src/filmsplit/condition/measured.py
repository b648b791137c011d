"""The newest readings of a roller as sizes that limits are set on, each with its deviation."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Protocol, TypeVar

from filmsplit.condition import measuring
from filmsplit.condition.readings import DiameterReading, HardnessReading, RollerHistory
from filmsplit.condition.words import EventKind, Measure

NOMINAL_SHORE_A = 2.5
"""Covers arrive within 5 points of what was ordered: two deviations (common practice)."""

ARRIVAL_DAYS = 60
"""A reading this soon after the cover's first day counts as its arrival value (invented default)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One size, its deviation, and the day of the reading it comes from."""

    measure: Measure
    value: float
    sigma: float
    on: date


class Dated(Protocol):
    """Anything read on a day."""

    @property
    def on(self) -> date: ...


Reading = TypeVar("Reading", bound=Dated)


def newest(readings: Iterable[Reading], *, since: date | None = None) -> Reading | None:
    """The last reading, of the cover now on the roller if ``since`` says when that began.

    Of several on one day the one that stands last: a reading taken again is the better one.
    """
    fit = [each for each in readings if since is None or each.on >= since]
    return max(reversed(fit), key=lambda each: each.on, default=None)


def measured_now(history: RollerHistory) -> tuple[Measured, ...]:
    """Every size that can be told of the roller as it is now."""
    found = [*_hardness(history), *_diameters(history), *_stripe(history)]
    since = max(filter(None, (history.cover_since, history.last(EventKind.REGROUND))), default=None)
    run_out = newest(history.run_outs, since=since)
    if run_out is not None and run_out.values_mm:
        found.append(_size(Measure.RUN_OUT, run_out.worst_mm, sigma=measuring.RUN_OUT_MM, on=run_out.on))
    play = newest(history.plays, since=history.last(EventKind.BEARINGS_RENEWED))
    if play is not None:
        found.append(_size(Measure.PLAY, play.play_mm, sigma=measuring.PLAY_MM, on=play.on))
    return tuple(found)


def _size(measure: Measure, value: float, *, sigma: float, on: date) -> Measured:
    return Measured(measure=measure, value=value, sigma=sigma, on=on)


def arrival_reading(history: RollerHistory) -> HardnessReading | None:
    """The reading the cover is judged against: its first, if taken soon after its life began."""
    readings = history.hardness_of_cover()
    since = history.cover_since
    if not readings or since is None or (readings[0].on - since).days > ARRIVAL_DAYS:
        return None
    return readings[0]


def _hardness(history: RollerHistory) -> Iterator[Measured]:
    """Rise and fall since arrival; since the drawing where no arrival value was read."""
    readings = history.hardness_of_cover()
    if not readings:
        return
    last, first = readings[-1], arrival_reading(history)
    if first is not None:
        rise, sigma = measuring.change(first, last)
    elif history.drawing.hardness_shore_a is not None:
        now, sigma_now = measuring.corrected(last)
        rise = now - history.drawing.hardness_shore_a
        sigma = math.hypot(sigma_now, NOMINAL_SHORE_A, measuring.READER_SHORE_A)
    else:
        return
    yield _size(Measure.HARDNESS_RISE, rise, sigma=sigma, on=last.on)
    yield _size(Measure.HARDNESS_FALL, -rise, sigma=sigma, on=last.on)


def _diameters(history: RollerHistory) -> Iterator[Measured]:
    """Shape from the newest three diameters, and the change from what the diameter should be."""
    since = max(filter(None, (history.cover_since, history.last(EventKind.REGROUND))), default=None)
    last = newest(history.diameters, since=since)
    if last is None:
        return
    sigma, pair = measuring.DIAMETER_MM, measuring.DIAMETER_DIFFERENCE_MM
    yield _size(Measure.END_TO_MIDDLE, last.ends_over_middle_mm, sigma=pair, on=last.on)
    yield _size(Measure.TAPER, last.taper_mm, sigma=pair, on=last.on)
    should_be = _should_be_mm(history, last, since=since)
    if should_be is not None:
        off = last.mean_mm - should_be
        yield _size(Measure.SHRINK, -off, sigma=sigma, on=last.on)
        yield _size(Measure.SWELL, off, sigma=sigma, on=last.on)


def _should_be_mm(history: RollerHistory, last: DiameterReading, *, since: date | None) -> float | None:
    """A reground roller is thinner than drawn and may be: it is compared with its first diameter after that."""
    reground = history.last(EventKind.REGROUND)
    if reground is None or (history.cover_since is not None and reground < history.cover_since):
        return history.drawing.diameter_mm
    first = min((each for each in history.diameters if since is None or each.on >= since), key=lambda each: each.on)
    return None if first is last else first.mean_mm


def _stripe(history: RollerHistory) -> Iterator[Measured]:
    """The newest stripe on the plate; other partners have targets of their own, which the setting plan knows."""
    last = newest(each for each in history.stripes if each.partner == "plate" and each.widths_mm)
    if last is None:
        return
    mean_sigma = measuring.STRIPE_MM / math.sqrt(len(last.widths_mm))
    yield _size(Measure.STRIPE_NARROW, last.mean_mm, sigma=mean_sigma, on=last.on)
    yield _size(Measure.STRIPE_WIDE, last.mean_mm, sigma=mean_sigma, on=last.on)
    if len(last.widths_mm) > 1:
        yield _size(Measure.STRIPE_UNEVEN, last.uneven_mm, sigma=math.sqrt(2) * measuring.STRIPE_MM, on=last.on)
