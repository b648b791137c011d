"""One layout on one press, foreseen: the row of a study, and what it was made from."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, fields

from filmsplit.actions.find import press_path
from filmsplit.actions.foresee import Foreseen, foresee
from filmsplit.actions.job_asked import JobAsked
from filmsplit.actions.work import WorkAsked
from filmsplit.messages import Refusal
from filmsplit.studies.film_answer import told


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyRow:
    """What a press makes of a layout. Figures are ``None`` where the press refused it; ``refused`` then says why."""

    key: str = told("of the press, the layout and everything that was asked: equal for equal rows")
    layout: str = told("name of the layout")
    press: str = told("id of the press, or its file")
    refused: tuple[str, ...] = told("why it cannot be printed there, in words; none where it can")
    ghost: float | None = told("strongest ghost of all inks, seen or not; film difference, no sign")
    seen: int | None = told("ghosts that are seen")
    fall_off: float | None = told("largest fall-off of an even area from lead to tail, no sign")
    starved: int | None = told("solids with too little film")
    not_reached: int | None = told("zones whose aim no key reaches, all inks together")
    sheets_95: int | None = told(
        "sheets until 95 % of a change is made, the slowest ink; null: not among those followed"
    )
    waste: int | None = told("sheets of the start that are not good, the worst ink")
    looked_at: int | None = told("sheets of the start that were looked at")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A layout and a press to be looked at, with everything that was asked."""

    press: str
    work: WorkAsked
    job: JobAsked
    visible: float | None = None

    @property
    def layout(self) -> str:
        return self.job.title or self.work.title or " ".join(self.work.what)

    @property
    def key(self) -> str:
        """A hash over the bytes of the press file and of the work's files, and over the words of the question.

        :class:`Refusal` where there is no such press; ``OSError`` where a file cannot be read.
        """
        digest = hashlib.sha256(press_path(self.press).read_bytes())
        if not self.work.is_typed:
            for path in self.work.paths:
                digest.update(path.read_bytes())
        words = [(each.name, getattr(self.work, each.name)) for each in fields(self.work) if each.name != "progress"]
        digest.update(repr((words, self.job, self.visible)).encode())
        return digest.hexdigest()[:32]


def row_of(pair: Pair) -> StudyRow:
    """The row of a pair; a refusal is a row, too. Nothing is recorded."""
    key = pair.key
    try:
        found = foresee(pair.press, pair.work, pair.job, visible=pair.visible)
    except Refusal as refusal:
        return _refused(pair, key, refusal)
    return _row(pair, key, found)


def _refused(pair: Pair, key: str, refusal: Refusal) -> StudyRow:
    return StudyRow(
        key=key,
        layout=pair.layout,
        press=pair.press,
        refused=tuple(problem.what for problem in refusal.problems),
        ghost=None,
        seen=None,
        fall_off=None,
        starved=None,
        not_reached=None,
        sheets_95=None,
        waste=None,
        looked_at=None,
    )


def _row(pair: Pair, key: str, found: Foreseen) -> StudyRow:
    areas = [area for ink in found.answer.inks for area in ink.areas]
    units = found.job.answer.units
    starts = [unit.start for unit in units if unit.start is not None]
    slow = [start.sheets_95 for start in starts]
    return StudyRow(
        key=key,
        layout=pair.layout,
        press=found.answer.press,
        refused=(),
        ghost=max((abs(area.strongest) for area in areas), default=0.0),
        seen=sum(len(ink.ghosts) for ink in found.answer.inks),
        fall_off=max((abs(area.fall_off) for area in areas), default=0.0),
        starved=sum(area.starved for area in areas),
        not_reached=sum(not key.reached for unit in units for key in unit.keys),
        sheets_95=None if not slow or None in slow else max(each for each in slow if each is not None),
        waste=max((start.waste for start in starts), default=None),
        looked_at=max((start.sheets for start in starts), default=None),
    )


def rank(row: StudyRow, *, visible: float) -> tuple[float, ...]:
    """Sorts presses for a job, the best first: one that can print it; without starved solids; with fewer zones out of
    reach; with the weaker ghost, as far as it is seen; with less waste; quicker to answer.
    """
    if row.refused or row.ghost is None:
        return (1.0,)
    unknown = float("inf")
    return (
        0.0,
        float(row.starved or 0),
        float(row.not_reached or 0),
        row.ghost if row.ghost >= visible else 0.0,
        unknown if row.waste is None else float(row.waste),
        unknown if row.sheets_95 is None else float(row.sheets_95),
        row.ghost,
    )
