"""A job that is set, ink by ink, as its page tells it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.actions.setup import Set
from filmsplit.actions.setup_paper import sheet_of
from filmsplit.actions.setup_words import unit_heading
from filmsplit.messages import label
from filmsplit.reports.setup_sheet import SetupSheet
from filmsplit.studies.job_answer import SetKey, SetUnit


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyRow:
    """One zone in the table. Empty where nothing is known or nothing is asked."""

    zone: int
    coverage: str
    key: str
    open: str
    film: str
    density: str
    reached: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One ink on one unit: what its set-up sheet says, its keys, and the drawings of its start and of its plate."""

    number: int
    heading: str
    sheet: SetupSheet
    unit: str
    rows: tuple[KeyRow, ...]
    dense: bool
    curve: str
    plate: str


def sections_of(found: Set) -> tuple[Section, ...]:
    """Every ink, in the order in which it is printed."""
    return tuple(_section(found, number) for number in range(1, len(found.answer.units) + 1))


def as_set(found: Set, unit: SetUnit) -> dict[str, str]:
    """What the log of one ink takes over from its plan."""
    curve = found.studies[found.answer.units.index(unit)].question.curve
    return {
        "set_keys": " ".join(f"{key.reading:.4g}" for key in unit.keys),
        "set_sweep": "" if unit.sweep is None else f"{unit.sweep.reading:.4g}",
        "percents": " ".join(f"{100 * key.coverage:.4g}" for key in unit.keys),
        "aim_density": "" if unit.aim_density is None else f"{unit.aim_density:.2f}",
        "log_saturation": "" if curve is None else f"{curve.saturation:.6f}",
        "log_rate": "" if curve is None else f"{curve.rate:.6f}",
        "length": f"{found.answer.sheet_length_mm:g}",
        "width": f"{found.answer.sheet_width_mm:g}",
        "ink": unit.ink,
    }


def _section(found: Set, number: int) -> Section:
    unit = found.answer.units[number - 1]
    sheet = sheet_of(found, unit)
    return Section(
        number=number,
        heading=unit_heading(found.answer, unit, press=found.press),
        sheet=sheet,
        unit=unit.unit,
        rows=tuple(_rows(unit.keys, sheet)),
        dense=any(key.density is not None for key in unit.keys),
        curve="" if sheet.curve is None else sheet.curve.svg,
        plate="" if sheet.place is None else sheet.place.svg,
    )


def _rows(keys: tuple[SetKey, ...], sheet: SetupSheet) -> Iterator[KeyRow]:
    for key, paper in zip(keys, sheet.keys, strict=True):
        asked = "yes" if key.reached else "no"
        yield KeyRow(
            zone=key.zone,
            coverage=f"{100 * key.coverage:.1f}",
            key=paper.reading,
            open=f"{100 * key.opening:.0f}",
            film="" if key.print_um is None else f"{key.print_um:.2f}",
            density="" if key.density is None else f"{key.density:.2f}",
            reached=label(f"web_set.{asked if key.coverage else 'shut'}"),
        )
