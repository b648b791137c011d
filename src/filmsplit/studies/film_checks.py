"""What cannot be asked: every reason at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple

import numpy as np

from filmsplit.ink.transfer import FixedShare, WalkerFetsko
from filmsplit.messages import Problem, label
from filmsplit.press import Press, Unit
from filmsplit.press.plate_order import form_rollers
from filmsplit.simulation.from_press import width_of
from filmsplit.simulation.network import DuctorFeed, LoopRole, Network
from filmsplit.studies.film_question import FilmQuestion, Mode

TOUCHES_MM = 1e-6
"""A sheet that is too large by less than this fits."""


class Range(NamedTuple):
    """Least and largest value that makes sense, in its unit: far beyond any press, near enough to catch a slip."""

    low: float
    high: float
    unit: str


RANGES = {
    "coverage": Range(0.0, 100.0, "%"),
    "keys": Range(0.0, 1000.0, "µm"),
    "aim": Range(0.01, 50.0, "µm"),
    "sweep": Range(0.0, 1000.0, "mm"),
    "sheet-length": Range(10.0, 3000.0, "mm"),
    "sheet-width": Range(10.0, 3000.0, "mm"),
    "round": Range(0.05, 30.0, "mm"),
    "across": Range(0.05, 100.0, "mm"),
    "density": Range(0.5, 5.0, "g/cm³"),
    "accuracy": Range(1e-6, 5.0, "%"),
    "tau": Range(0.1, 1.0, ""),
    "smoothness": Range(0.01, 1000.0, "m²/g"),
    "immobilised": Range(0.001, 100.0, "g/m²"),
    "free-share": Range(0.0, 1.0, ""),
}
"""Numbers a question holds, by the word of their label (common practice, made wide)."""


def number_problems(question: FilmQuestion) -> Iterator[Problem]:
    """Numbers that are none, or out of all range."""
    for word, values in _numbers(question).items():
        low, high, unit = RANGES[word]
        bad = [float(value) for value in values if not low <= value <= high]  # also what is not a number
        if bad:
            asked = {"what": label(f"film_asked.{word}"), "value": bad[0], "low": low, "high": high}
            yield Problem("film-number-out-of-range", {**asked, "unit": f" {unit}" if unit else ""})


def _numbers(question: FilmQuestion) -> dict[str, Iterable[float]]:
    """Every number told, in the unit of its range."""
    single = {
        "aim": question.aim_um,
        "sweep": question.sweep_mm,
        "round": question.round_mm,
        "across": question.across_mm,
        "density": question.density_g_per_cm3,
        "accuracy": 100 * question.accuracy,
    }
    if question.sheet_mm is not None:
        single["sheet-length"], single["sheet-width"] = question.sheet_mm
    match question.transfer:
        case FixedShare(tau=tau):
            single["tau"] = tau
        case WalkerFetsko(k=k, b=b, f=f):
            single |= {"smoothness": k, "immobilised": b, "free-share": f}
    found: dict[str, Iterable[float]] = {word: (value,) for word, value in single.items() if value is not None}
    if question.coverage is not None:
        found["coverage"] = 100 * np.ravel(np.asarray(question.coverage, dtype=np.float64))
    if question.key_films_um is not None:
        found["keys"] = np.ravel(np.asarray(question.key_films_um, dtype=np.float64))
    return found


def problems_of(press: Press, unit: Unit, question: FilmQuestion, *, network: Network) -> Iterator[Problem]:
    """What does not go with this unit."""
    yield from _zones(unit, question)
    yield from _sheet(press, unit, question)
    yield from _forms(unit, question, network)
    yield from _sweep(unit, question, network)
    yield from _nothing_asked(unit, question)


def reach_of(press: Press, unit: Unit) -> tuple[float, float]:
    """Length and width of the largest sheet: by the press's own limits, the plate less its gap, the rollers' faces."""
    plate = unit.cylinders.plate
    length_mm = min(press.sheet_length_mm, plate.circumference_mm - plate.gap_mm)
    return length_mm, min(press.sheet_width_mm, width_of(unit))


def _zones(unit: Unit, question: FilmQuestion) -> Iterator[Problem]:
    assert unit.fountain is not None
    zones = len(unit.fountain.zone_widths_mm)
    for word, asked in (("coverage", question.coverage), ("keys", question.key_films_um)):
        if isinstance(asked, tuple) and len(asked) != zones:
            values = {"unit": unit.id, "what": label(f"film_asked.{word}"), "given": len(asked), "zones": zones}
            yield Problem("film-zones-miscounted", values, ("units", unit.id, "fountain"))


def _sheet(press: Press, unit: Unit, question: FilmQuestion) -> Iterator[Problem]:
    if question.sheet_mm is None:
        return
    (length_mm, width_mm), (most_length_mm, most_width_mm) = question.sheet_mm, reach_of(press, unit)
    if length_mm > most_length_mm + TOUCHES_MM or width_mm > most_width_mm + TOUCHES_MM:
        values = {"length_mm": length_mm, "width_mm": width_mm, "unit": unit.id}
        yield Problem(
            "film-sheet-too-large", {**values, "most_length_mm": most_length_mm, "most_width_mm": most_width_mm}
        )


def _forms(unit: Unit, question: FilmQuestion, network: Network) -> Iterator[Problem]:
    ink = {loop.id for loop in network.loops if loop.role is LoopRole.ROLLER}
    known = [form.id for form in form_rollers(unit) if form.id in ink]
    for asked in sorted(question.thrown_off - set(known)):
        yield Problem("film-form-unknown", {"unit": unit.id, "asked": asked, "known": ", ".join(known)})
    if question.mode is Mode.PRINT and set(known) <= question.thrown_off:
        yield Problem("film-no-form-left", {"unit": unit.id})


def _sweep(unit: Unit, question: FilmQuestion, network: Network) -> Iterator[Problem]:
    if question.sweep_mm is None:
        return
    assert unit.fountain is not None
    sweep = unit.fountain.sweep
    if not isinstance(network.feeds[0], DuctorFeed):
        yield Problem("film-sweep-no-ductor", {"unit": unit.id})
    elif sweep.mm_per_division is not None and question.sweep_mm > sweep.highest * sweep.mm_per_division:
        most_mm = sweep.highest * sweep.mm_per_division
        yield Problem("film-sweep-beyond", {"unit": unit.id, "sweep_mm": question.sweep_mm, "most_mm": most_mm})
    if question.sweep_mm == 0:
        yield Problem("film-sweep-shut", {"unit": unit.id})


def _nothing_asked(unit: Unit, question: FilmQuestion) -> Iterator[Problem]:
    """Keys that let no ink through; a film asked for where nothing is printed."""
    keys = question.key_films_um
    if keys is not None and not np.any(np.asarray(keys) != 0):
        yield Problem("film-keys-shut", {"unit": unit.id})
    blank = question.coverage is not None and not np.any(np.asarray(question.coverage) != 0)
    if blank and keys is None:
        yield Problem("film-nothing-printed", {"unit": unit.id})
    if keys is not None and question.aim_um is not None and math.isfinite(question.aim_um):
        yield Problem("film-aim-and-keys")
