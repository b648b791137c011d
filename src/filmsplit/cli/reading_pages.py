"""Readings and instruments as a person reads them in a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from filmsplit.actions.readings import Recorded
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, table
from filmsplit.messages import label
from filmsplit.records.instruments import Instrument


def print_recorded(done: Sequence[Recorded]) -> None:
    """The number of each entry, what a hardness reading says, and what was noticed."""
    for each in done:
        print(label("reading.recorded", number=each.entry.number, kind=each.entry.kind))
        if each.hardness is not None:
            median, sd = f"{each.hardness.median_shore_a:.1f}", f"{each.hardness.sd_shore_a:.1f}"
            print(label("reading.hardness", median=median, sd=sd))
        echo_problems(each.notices)


def print_instruments(found: Sequence[Instrument]) -> None:
    """One line an instrument, with its last calibration."""
    if not found:
        print(label("instrument.none"))
        return
    made = table(*((label(f"instrument.{name}"), "left") for name in ("name", "kind", "unit", "last", "off", "due")))
    for each in found:
        last = each.calibrations[-1] if each.calibrations else None
        calibration = ("", "", "")
        if last is not None:
            due = last.due.isoformat() if last.due else ""
            calibration = (last.day.isoformat(), f"{last.offset:+g} ± {last.uncertainty:g}", due)
        made.add_row(each.name, each.kind, each.unit, *calibration)
    console().print(made)
