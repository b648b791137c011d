"""Instruments on record: added, calibrated, listed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from filmsplit.actions.register import Daybook, opened
from filmsplit.messages import Problem, Refusal
from filmsplit.records.instruments import (
    UNIT_OF_KIND,
    Calibration,
    Instrument,
    add_calibration,
    add_instrument,
    all_instruments,
    instrument_named,
    strike_last_calibration,
)

LONGEST_NAME = 40
LARGEST_OFFSET = 50.0
"""In whatever unit: nobody keeps an instrument that is further off."""


def add(instrument: Instrument, *, book: Daybook) -> Instrument:
    """Put an instrument on record, with the calibrations that are known."""
    name = instrument.name.strip()
    problems = [problem for each in instrument.calibrations for problem in _calibration_problems(each)]
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        problems.append(Problem("instrument-name-unusable", {"name": name, "most": LONGEST_NAME}))
    if instrument.kind not in UNIT_OF_KIND:
        values = {"given": instrument.kind, "known": ", ".join(UNIT_OF_KIND)}
        problems.append(Problem("instrument-kind-unknown", values))
    if problems:
        raise Refusal(problems)
    with opened(book) as store, store.write("instrument add") as writer:
        if instrument_named(writer.connection, name) is not None:
            raise Refusal(Problem("instrument-name-taken", {"name": name}))
        add_instrument(writer, replace(instrument, name=name))
    return instrument


def calibrate(name: str, calibration: Calibration, *, book: Daybook) -> Instrument:
    """Put a calibration on record; the instrument with all its calibrations."""
    problems = tuple(_calibration_problems(calibration))
    if problems:
        raise Refusal(problems)
    with opened(book) as store, store.write("instrument calibrate") as writer:
        found = instrument_named(writer.connection, name)
        if found is None:
            raise Refusal(Problem("instrument-not-found", {"asked": name}))
        add_calibration(writer, found.id, calibration)
        whole = instrument_named(writer.connection, name)
        assert whole is not None
        return whole


def take_back(name: str, *, reason: str, book: Daybook) -> None:
    """Take the last calibration of an instrument back. It stays on record with the reason, and counts no longer."""
    with opened(book) as store, store.write("instrument calibrate, taken back") as writer:
        found = instrument_named(writer.connection, name)
        if found is None:
            raise Refusal(Problem("instrument-not-found", {"asked": name}))
        if not strike_last_calibration(writer, found.id, day=book.day, reason=reason):
            raise Refusal(Problem("calibration-none-left", {"name": found.name}))


def listed(*, book: Daybook) -> tuple[Instrument, ...]:
    """Every instrument, by name. Looking makes no file."""
    if not book.records.exists():
        return ()
    with opened(book) as store, store.read() as connection:
        return all_instruments(connection)


def _calibration_problems(calibration: Calibration) -> Iterator[Problem]:
    if not abs(calibration.offset) < LARGEST_OFFSET:  # NaN is not
        yield Problem("calibration-impossible", {"what": "offset", "given": calibration.offset})
    if not 0 <= calibration.uncertainty < LARGEST_OFFSET:
        yield Problem("calibration-impossible", {"what": "uncertainty", "given": calibration.uncertainty})
    if calibration.due is not None and calibration.due <= calibration.day:
        yield Problem("calibration-impossible", {"what": "due", "given": calibration.due.isoformat()})
