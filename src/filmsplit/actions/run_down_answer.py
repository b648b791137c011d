"""A run-down test as plain records with units in their names: what ``--json`` prints, and its schema comes from."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.messages import Problem
from filmsplit.studies.film_answer import told


@dataclass(frozen=True, slots=True, kw_only=True)
class StageAnswer:
    """So many sheets with these form rollers on the plate."""

    first_sheet: int = told("its first sheet, from 1")
    sheets: int = told("sheets of the stage")
    forms: tuple[str, ...] = told("form rollers on the plate")
    fades_to: float = told("film of the patch on its last sheet over the settled film, with usual contacts", "0..1")


@dataclass(frozen=True, slots=True, kw_only=True)
class IntervalAnswer:
    """A number with the interval that should hold it."""

    value: float = told("the most likely")
    low: float = told("lower end")
    high: float = told("upper end")


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactAnswer:
    """How well one form roller gives its ink to the plate."""

    form: str = told("id of the form roller")
    name: str = told("its name in the shop's words")
    share: IntervalAnswer = told("part of the plate that it really touches", "0..1")
    told: bool = told("whether the test told it; if not, the interval is what was likely beforehand")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundAnswer:
    """What the readings told."""

    stored_um_mm2: IntervalAnswer = told("ink on all rollers at the start of the test, film times area", "µm·mm²")
    stored_g: IntervalAnswer = told("the same by weight; the interval holds the doubt about the ink's density too", "g")
    contacts: tuple[ContactAnswer, ...] = told("every form roller, in the order of the ink train")
    misfit: float = told("how far the readings are off the fitted fading, in reading errors; 1 is what to expect")
    coverage: float = told("part of tests in which an interval holds the truth", "0..1")
    sheets_read: int = told("sheets that were read")


@dataclass(frozen=True, slots=True, kw_only=True)
class RunDownAnswer:
    """A run-down test: the plan, and what its readings told."""

    press: str = told("id of the press")
    invented: bool = told("whether the press exists only on paper")
    unit: str = told("id of the unit")
    ink: str = told("the ink whose density was taken")
    density_g_per_cm3: float = told("its density", "g/cm³")
    zone: int = told("ink zone of the patch, from the operator's side, from 1")
    patch_first_mm: float = told("where the zone begins, from the operator's side of the sheet", "mm")
    patch_end_mm: float = told("where it ends", "mm")
    sheets: int = told("sheets of the test")
    stages: tuple[StageAnswer, ...] = told("the stages in their order")
    found: FoundAnswer | None = told("what the readings told; null without readings")
    notes: tuple[Problem, ...] = told("what was assumed, what could not be told, and what to do next")
