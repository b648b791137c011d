"""From measured marks to the part of one press that made them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from filmsplit.faults.advice import best_other, next_steps
from filmsplit.faults.marks import Reading, checked_marks
from filmsplit.faults.ranking import rank
from filmsplit.faults.result import Finding, MarkMatch, RankedSuspect
from filmsplit.faults.separation import separation_sd
from filmsplit.faults.suspects import Suspect, suspects_of
from filmsplit.faults.travel import Window, window_of
from filmsplit.messages import Problem
from filmsplit.press import Press, Unit
from filmsplit.press.asked import units_asked

_SURE = 0.8
"""Below this probability the first suspect, with those like it, is not called found."""

_RULED_OUT = 0.01
"""A second suspect below this probability is ruled out and not asked for its distance."""

_APART_SD = 3.0


def match_marks(
    press: Press,
    marks: Iterable[Reading],
    *,
    unit: str | None = None,
    reading_sd_mm: float = 0.5,
    sheet_length_mm: float | None = None,
) -> MarkMatch:
    """Rank the parts of ``press`` that may have made ``marks``: distances in mm, or (sheet, distance) pairs.

    Distances run from the lead edge; sheets are whole numbers in printing order. ``unit`` narrows the search to one
    printing unit (the ink's colour tells it); ``sheet_length_mm`` is the sheet at hand, if not the longest.
    """
    units = units_asked(press, unit)
    windows = {one.id: window_of(press, one, sheet_length_mm=sheet_length_mm) for one in units}
    widest = max(windows.values(), key=lambda window: window.visible_mm)
    kept, notes = checked_marks(marks, widest, reading_sd_mm=reading_sd_mm)
    suspects = tuple(suspect for one in units for suspect in suspects_of(press, one))
    ranked, unlisted = rank(suspects, kept, windows=windows, reading_sd_mm=reading_sd_mm)
    other = best_other(ranked, least=_RULED_OUT)
    apart = _apart(ranked, other, windows=windows, reading_sd_mm=reading_sd_mm) if len(kept) > 1 else None
    finding = _finding(ranked, unlisted, other, apart=apart, number=len(kept))
    unsure = finding in (Finding.UNSURE, Finding.NONE_FITS)
    steps = next_steps(ranked, other, windows, reading_sd_mm=reading_sd_mm, unsure=unsure)
    return MarkMatch(
        press=press.id,
        marks=kept,
        ranked=ranked,
        unlisted=unlisted,
        finding=finding,
        separation_sd=apart,
        next_steps=steps,
        notes=(*notes, *(problem for one in units for problem in _left_out(one, suspects))),
    )


def _apart(
    ranked: Sequence[RankedSuspect], other: RankedSuspect | None, *, windows: Mapping[str, Window], reading_sd_mm: float
) -> float | None:
    if other is None:
        return None
    window = windows[ranked[0].suspect.unit]
    return separation_sd(ranked[0], other, window, reading_sd_mm=reading_sd_mm)


def _finding(
    ranked: Sequence[RankedSuspect],
    unlisted: float,
    other: RankedSuspect | None,
    *,
    apart: float | None,
    number: int,
) -> Finding:
    if number == 1:
        return Finding.ONE_MARK
    together = (
        0.0
        if not ranked
        else sum(one.probability for one in ranked if one is ranked[0] or one.suspect.id in ranked[0].alike)
    )
    if not ranked or unlisted > together:
        return Finding.NONE_FITS
    if other is not None and apart is not None and apart <= _APART_SD:
        return Finding.CLOSE
    if together < _SURE:
        return Finding.UNSURE
    return Finding.ALIKE if ranked[0].alike else Finding.TOLD


def _left_out(unit: Unit, suspects: Sequence[Suspect]) -> list[Problem]:
    """Rollers that are no suspects because nothing says how fast they run."""
    rollers = {one.members[0] for one in suspects if one.unit == unit.id and one.is_roller}
    missing = ", ".join(roller.id for roller in unit.rollers if roller.id not in rollers)
    return [Problem("mark-roller-speed-unknown", {"unit": unit.id, "rollers": missing})] if missing else []
