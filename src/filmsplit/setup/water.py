"""Where to start with the water: from the shop's own last record, never from a number of ours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from filmsplit.messages import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterRecord:
    """A water setting that printed well, as the press has it: ``setting`` in its own words or numbers."""

    press: str
    unit: str
    paper: str
    day: date
    setting: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterStart:
    """The record to start from (``None``: there is none) and what to say."""

    record: WaterRecord | None
    told: Problem


def water_start(records: Sequence[WaterRecord], *, press: str, unit: str, paper: str) -> WaterStart:
    """The last record of this unit with this paper; without one, that the press manual and a bracket come first."""
    fitting = [each for each in records if (each.press, each.unit, each.paper) == (press, unit, paper)]
    if not fitting:
        return WaterStart(record=None, told=Problem("setup-water-no-record", {"unit": unit, "paper": paper}))
    last = max(fitting, key=lambda each: each.day)
    values = {"unit": unit, "paper": paper, "setting": last.setting, "day": last.day.isoformat()}
    return WaterStart(record=last, told=Problem("setup-water-as-last", values))
