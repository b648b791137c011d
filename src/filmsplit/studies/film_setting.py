"""A question made whole: what was left open is filled in from the press, and every gap filled is told."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate

import numpy as np

from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import Transfer, WalkerFetsko
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press, Unit
from filmsplit.press.words import SweepKind
from filmsplit.simulation.from_press import ink_network, width_of
from filmsplit.simulation.network import DuctorFeed, Network
from filmsplit.simulation.period import with_common_period
from filmsplit.studies.film_checks import number_problems, problems_of, reach_of
from filmsplit.studies.film_question import AIM_UM, COVERAGE, FilmQuestion, Zoned

SWEEP_MM = 20.0
"""A middling sweep, where nobody knows how far a division goes (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlace:
    """The sheet: its length from the leading image edge on, and where its sides lie across the train."""

    length_mm: float
    first_mm: float
    end_mm: float

    @property
    def width_mm(self) -> float:
        return self.end_mm - self.first_mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmSetting:
    """A question in full. ``coverage`` is a map over the sheet with its edges from the sheet's own corner.

    ``network`` has a common period. ``zone_edges_mm`` are places across the train. ``key_films_um`` is ``None``
    where they are still to be found from ``aim_um``. ``assumptions`` say what was filled in.
    """

    unit: Unit
    question: FilmQuestion
    network: Network
    width_mm: float
    sheet: SheetPlace
    coverage: Array
    coverage_edges_mm: tuple[Array, Array]
    zone_edges_mm: tuple[float, ...]
    key_films_um: Zoned | None
    aim_um: float
    sweep_mm: float | None
    density_g_per_cm3: float
    transfer: Transfer
    assumptions: tuple[Problem, ...]

    @property
    def mean_coverage(self) -> float:
        """Over the sheet."""
        down, across = (np.diff(edges) for edges in self.coverage_edges_mm)
        return float(down @ self.coverage @ across / (down.sum() * across.sum()))


def settings_of(press: Press, units: tuple[Unit, ...], question: FilmQuestion) -> tuple[FilmSetting, ...]:
    """The question put to each unit; :class:`Refusal` with everything that stands in the way, of all units."""
    problems = list(number_problems(question))
    found = []
    for unit in units:
        try:
            found.append(_setting(press, unit, question))
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems)
    return tuple(found)


def _setting(press: Press, unit: Unit, question: FilmQuestion) -> FilmSetting:
    asked = ink_network(unit)
    problems = tuple(problems_of(press, unit, question, network=asked))
    if problems:
        raise Refusal(problems)
    network, _ = with_common_period(asked)
    edges = zone_edges_mm(unit, network)
    sheet = _sheet(press, unit, question)
    coverage, down, across = _coverage(question, sheet=sheet, edges=edges)
    sweep_mm = _sweep_mm(unit, question) if isinstance(network.feeds[0], DuctorFeed) else None
    return FilmSetting(
        unit=unit,
        question=question,
        network=network,
        width_mm=width_of(unit),
        sheet=sheet,
        coverage=coverage,
        coverage_edges_mm=(down, across),
        zone_edges_mm=edges,
        key_films_um=question.key_films_um,
        aim_um=question.aim_um or AIM_UM,
        sweep_mm=sweep_mm,
        density_g_per_cm3=question.density_g_per_cm3,
        transfer=_transfer(question),
        assumptions=tuple(_assumed(press, unit, question, sheet=sheet, sweep_mm=sweep_mm)),
    )


def zone_edges_mm(unit: Unit, network: Network) -> tuple[float, ...]:
    """Edges of the ink zones across the train, from the operator's side."""
    assert unit.fountain is not None
    face = network.feeds[0].face_mm
    assert face is not None
    return tuple(accumulate(unit.fountain.zone_widths_mm, initial=face[0]))


def _sheet(press: Press, unit: Unit, question: FilmQuestion) -> SheetPlace:
    """In the middle of the train; the largest that fits unless told."""
    length_mm, width_mm = question.sheet_mm or reach_of(press, unit)
    first_mm = (width_of(unit) - width_mm) / 2
    return SheetPlace(length_mm=length_mm, first_mm=first_mm, end_mm=first_mm + width_mm)


def _coverage(question: FilmQuestion, *, sheet: SheetPlace, edges: tuple[float, ...]) -> tuple[Array, Array, Array]:
    """The map over the sheet with its edges down and across; a zone's coverage reaches to the sheet's side."""
    asked = COVERAGE if question.coverage is None else question.coverage
    if isinstance(asked, np.ndarray):
        return np.asarray(asked, dtype=np.float64), *_edges(question, asked.shape, sheet=sheet)
    down = np.array([0.0, sheet.length_mm])
    if not isinstance(asked, tuple):
        return np.array([[float(asked)]]), down, np.array([0.0, sheet.width_mm])
    inner = [edge - sheet.first_mm for edge in edges[1:-1] if sheet.first_mm < edge < sheet.end_mm]
    across = np.array([0.0, *inner, sheet.width_mm])
    middles = (across[1:] + across[:-1]) / 2 + sheet.first_mm
    zone = np.clip(np.searchsorted(edges, middles) - 1, 0, len(asked) - 1)
    return np.array(asked, dtype=np.float64)[zone][None, :], down, across


def _edges(question: FilmQuestion, cells: tuple[int, ...], *, sheet: SheetPlace) -> tuple[Array, Array]:
    """Edges of a map's cells over the sheet, told or even. ``ValueError`` where those told do not span the sheet."""
    size_mm, told = (sheet.length_mm, sheet.width_mm), question.coverage_edges_mm
    if told is None:
        down, across = (np.linspace(0, size, number + 1) for size, number in zip(size_mm, cells, strict=True))
        return down, across
    for edges, size, number in zip(told, size_mm, cells, strict=True):
        if edges.size != number + 1 or not np.allclose(edges[[0, -1]], (0.0, size)) or np.any(np.diff(edges) <= 0):
            raise ValueError(f"edges that do not cut {size} mm into {number} cells")
    return told


def _transfer(question: FilmQuestion) -> Transfer:
    """A law in g/m2 is told the density of the ink."""
    law = question.transfer
    if isinstance(law, WalkerFetsko):
        return WalkerFetsko(k=law.k, b=law.b, f=law.f, density=question.density_g_per_cm3)
    return law


def _sweep_mm(unit: Unit, question: FilmQuestion) -> float:
    return middling_sweep_mm(unit) if question.sweep_mm is None else question.sweep_mm


def middling_sweep_mm(unit: Unit) -> float:
    """Mid-range, in whole notches on a ratchet."""
    assert unit.fountain is not None
    sweep = unit.fountain.sweep
    if sweep.mm_per_division is None:
        return SWEEP_MM
    middle = (sweep.lowest + sweep.highest) / 2
    return sweep.mm_per_division * (math.floor(middle + 0.5) if sweep.kind is SweepKind.NOTCHED else middle)


def _assumed(
    press: Press,
    unit: Unit,
    question: FilmQuestion,
    *,
    sheet: SheetPlace,
    sweep_mm: float | None,
) -> Iterator[Problem]:
    """What was filled in, the weightiest first."""
    if question.coverage is None:
        yield Problem("film-assumed-coverage", {"percent": 100 * COVERAGE})
    if question.key_films_um is None:
        yield Problem("film-assumed-keys", {"aim_um": question.aim_um or AIM_UM})
    if question.sweep_mm is None and sweep_mm is not None:
        yield Problem("film-assumed-sweep", {"unit": unit.id, "sweep_mm": sweep_mm, "why": _sweep_reason(unit)})
    values = {"length_mm": sheet.length_mm, "width_mm": sheet.width_mm}
    yield Problem("film-assumed-sheet" if question.sheet_mm is None else "film-assumed-place", values)
    yield Problem("film-assumed-splits")
    yield from _assumed_of_press(press, unit)


def _sweep_reason(unit: Unit) -> str:
    assert unit.fountain is not None
    known = unit.fountain.sweep.mm_per_division is not None
    return label("film_sweep.mid-range" if known else "film_sweep.unknown")


def _assumed_of_press(press: Press, unit: Unit) -> Iterator[Problem]:
    """How many values of the unit that ink depends on are themselves assumed."""
    count = sum("ink" in each.counts_for and each.path[:2] == ("units", unit.id) for each in press.assumptions)
    if count:
        yield Problem("film-press-assumed", {"count": count, "unit": unit.id, "press": press.id})
