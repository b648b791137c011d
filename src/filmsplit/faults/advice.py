"""What to measure next to tell the best two suspects apart."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from filmsplit.faults.priors import SuspectKind
from filmsplit.faults.result import RankedSuspect
from filmsplit.faults.separation import Foretold, foretell
from filmsplit.faults.steps import NextStep, StepKind
from filmsplit.faults.travel import Window
from filmsplit.procedures.words import PressState

_CYCLES = (SuspectKind.DUCTOR_CYCLE, SuspectKind.OSCILLATOR_CYCLE)
_WORTH_MEASURING_SD = 2.0
_DIAMETER_READING_SD_MM = 0.1
"""A roller off the press, by pi tape or callipers on rubber (common practice)."""


def next_steps(
    ranked: Sequence[RankedSuspect],
    other: RankedSuspect | None,
    windows: Mapping[str, Window],
    *,
    reading_sd_mm: float,
    unsure: bool,
) -> tuple[NextStep, ...]:
    """Steps in the order to take them: paper first, then what needs the press locked, then the roller out.

    ``other`` is the best suspect that repeats differently, if there is one worth telling from the first;
    ``unsure`` that the marks name neither.
    """
    if not ranked:
        return (NextStep(kind=StepKind.MORE_MARKS, state=PressState.DESK),)
    one = ranked[0]
    if len(one.marks) == 1:
        return (NextStep(kind=StepKind.SECOND_MARK, state=PressState.DESK),)
    steps = [] if other is None else _on_paper(one, other, windows=windows, reading_sd_mm=reading_sd_mm)
    if unsure and not steps:
        steps.append(NextStep(kind=StepKind.MORE_MARKS, state=PressState.DESK))
    steps += _watch(one, other)
    steps.append(_inspect(one, other))
    steps += [_measure(each) for each in (one, other) if each is not None and _measurable(each)]
    return tuple(steps)


def _on_paper(
    one: RankedSuspect, other: RankedSuspect, *, windows: Mapping[str, Window], reading_sd_mm: float
) -> list[NextStep]:
    """Where the two would put their next marks: told from either side, whichever is clearer."""
    window = windows[one.suspect.unit]
    found = [
        (first, second, place)
        for first, second in ((one, other), (other, one))
        if (place := foretell(first, second, window, reading_sd_mm=reading_sd_mm)) is not None
    ]
    if not found:
        return []
    first, second, place = max(found, key=lambda each: each[2].separation_sd)
    return [_place_step(first, second, place)] if place.separation_sd >= _WORTH_MEASURING_SD else []


def _place_step(first: RankedSuspect, second: RankedSuspect, place: Foretold) -> NextStep:
    values: dict[str, object] = {
        "sheets_on": place.sheets_on,
        "a": first.suspect.name,
        "a_mm": f"{place.a_mm:.1f}",
        "b": second.suspect.name,
        "separation": f"{min(place.separation_sd, 99.0):.1f}",
    }
    kind = StepKind.NEXT_PLACE_ABSENT
    if place.b_mm is not None:
        kind, values["b_mm"] = StepKind.NEXT_PLACE, f"{place.b_mm:.1f}"
    return NextStep(kind=kind, state=PressState.DESK, separation_sd=place.separation_sd, values=values)


def _watch(one: RankedSuspect, other: RankedSuspect | None) -> list[NextStep]:
    """A beat slower than the plate shows on paper: it is missing from some sheets."""
    return [
        NextStep(
            kind=StepKind.WATCH_CYCLE,
            state=PressState.DESK,
            values={"a": each.suspect.name, "sheets": f"{_sheets_a_mark(each):g}"},
        )
        for each in (one, other)
        if each is not None and each.suspect.kind in _CYCLES
    ]


def _sheets_a_mark(one: RankedSuspect) -> float:
    plate_mm = one.walks[0].turns * one.expected_mm - one.walks[0].shift_mm
    return round(one.expected_mm / (plate_mm / one.walks[0].sheets), 2)


def _inspect(one: RankedSuspect, other: RankedSuspect | None) -> NextStep:
    parts = [one.suspect.name, *one.alike_names, *([] if other is None else [other.suspect.name])]
    return NextStep(kind=StepKind.INSPECT, state=PressState.ISOLATED, values={"parts": "; ".join(parts)})


def _measurable(one: RankedSuspect) -> bool:
    return one.suspect.is_roller and not one.suspect.geared and one.diameter_mm is not None


def _measure(one: RankedSuspect) -> NextStep:
    """The diameter the marks ask for, against a tape round the roller."""
    wanted_mm, sd_mm = one.diameter_mm or math.nan, one.diameter_sd_mm or math.nan
    return NextStep(
        kind=StepKind.MEASURE_ROLLER,
        state=PressState.OFF_PRESS,
        values={
            "a": "; ".join((one.suspect.name, *one.alike_names)),
            "diameter_mm": f"{wanted_mm:.2f}",
            "sd_mm": f"{math.hypot(sd_mm, _DIAMETER_READING_SD_MM):.2f}",
        },
    )


def best_other(ranked: Sequence[RankedSuspect], *, least: float) -> RankedSuspect | None:
    """The likeliest suspect that does not repeat as the first does, if it is at least ``least`` likely."""
    if not ranked:
        return None
    first = ranked[0]
    for one in ranked[1:]:
        if one.suspect.id not in first.alike and one.probability >= least:
            return one
    return None
