"""The set-up sheet: what to set for a job on one unit, what to expect, and what to do step by step."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.figures.drawing import Drawing
from filmsplit.procedures.gate import Passage
from filmsplit.reports.fields import printed
from filmsplit.reports.keys import KeyOnPaper
from filmsplit.setup.quantity import InkNeed


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What the sheet is expected to carry, and how far that may be off."""

    quantity: str = printed("what is expected, in words: film on the solid, or density")
    unit: str = printed("its unit as printed: µm or D")
    value: float = printed("what is aimed at", "µm or D")
    low: float | None = printed("lower end of the band; none where no band is known", "µm or D")
    high: float | None = printed("upper end of the band", "µm or D")
    coverage: float | None = printed("part of cases the band is meant to hold", "0..1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Waits:
    """Sheets to wait. ``None``: not known, which the sheet says."""

    sheets_63: int | None = printed("sheet at which 63 % of the way is made", "sheets")
    sheets_95: int | None = printed("sheet at which 95 % of the way is made", "sheets")
    judge_key: int | None = printed("sheets after a key move before it can be judged", "sheets")


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A procedure as it stands on paper, cut where the press state changes."""

    title: str = printed("what the person gets done")
    source: str = printed("where the order of steps comes from")
    passages: tuple[Passage, ...] = printed("the steps, cut after every change of press state")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupSheet:
    """Everything that a set-up sheet shows. Texts are in the reader's language."""

    press: str = printed("name of the press")
    unit: str = printed("name of the unit; empty for a press of one unit")
    invented: bool = printed("whether the press exists only on paper")
    job: str = printed("title of the job")
    ink: str = printed("name of the ink")
    stock: str = printed("paper or board")
    run: int | None = printed("run length; none where it is not known", "sheets")
    keys: tuple[KeyOnPaper, ...] = printed("every key, from the operator's side")
    how_to_read: str = printed("what the key numbers mean on this press")
    sweep: str = printed("setting of the sweep in the press's own words; empty for a feed without one")
    water: str = printed("the last record to start from, or that there is none")
    expected: Expected = printed("what the sheet should carry")
    waits: Waits = printed("sheets to wait")
    ink_need: InkNeed | None = printed("ink to have at hand; none where the run is not known", "kg")
    curve: Drawing | None = printed("film or density against sheet number; none where nothing was computed")
    warnings: tuple[str, ...] = printed("what may go wrong")
    assumptions: tuple[str, ...] = printed("what was taken because nobody said")
    limits: tuple[str, ...] = printed("what the figures leave out")
    procedures: tuple[Done, ...] = printed("what is done at this press, in the order of a day")
    code: str = printed("code that leads back to the record; empty where nothing was recorded")
    passes: str = printed("which pass of how many this is; empty where there is one", default="")
    aim: str = printed("what is aimed at, in words: film, or density with its constants", default="")
    work: tuple[str, ...] = printed("what the plate was read from, and every step done to it", default=())
    place: Drawing | None = printed("what lies where on sheet and plate", default=None)
    washes: tuple[str, ...] = printed("washes before this ink", default=())
    start: tuple[str, ...] = printed("what to do with the first and the last sheets, in order", default=())
    unreached: tuple[str, ...] = printed("what cannot be reached, with the ways out", default=())
    standing: tuple[str, ...] = printed(
        "where ink stays long on the rollers, and the bars that take it off", default=()
    )
    last_time: tuple[str, ...] = printed("the jobs before that are most like this one", default=())
