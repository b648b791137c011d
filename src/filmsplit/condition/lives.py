"""The readings of many rollers as lives of covers: what a trend is drawn through.

A life begins with the cover (a re-cover ends it), and for a diameter also with a regrind. Earlier lives of a roller say
as much about its compound as the present one, so they are kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from filmsplit.condition.measuring import DIAMETER_MM, SAME_READER_SHORE_A, median_sigma
from filmsplit.condition.readings import RollerHistory
from filmsplit.condition.words import EventKind


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendPoint:
    """One reading: what was read and its own deviation, without what hands, instruments and warmth add to it."""

    on: date
    value: float
    sigma: float
    temperature_c: float | None = None
    reader: str = ""
    instrument: str = ""
    glazed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverLife:
    """One cover from its first day on. ``nominal`` is what was ordered; ``steps`` are days on which it was reground."""

    roller: str
    number: int
    press: str
    compound: str
    began: date
    nominal: float | None
    points: tuple[TrendPoint, ...]
    wash_changes: tuple[date, ...] = ()
    regrinds: tuple[date, ...] = ()
    ended: date | None = None
    began_known: bool = True
    """Whether somebody wrote the first day down; otherwise the rise counts from the first reading."""

    @property
    def key(self) -> str:
        return f"{self.roller}/{self.number}"


def hardness_lives(histories: Iterable[RollerHistory]) -> tuple[CoverLife, ...]:
    """Hardness of every cover there was, in Shore A."""
    return tuple(life for history in histories for life in _lives(history, _hardness_points(history), splits=()))


def shrink_lives(histories: Iterable[RollerHistory]) -> tuple[CoverLife, ...]:
    """Shrinking of every cover in mm: diameters with their sign turned, so that it grows with age as hardness does."""
    found: list[CoverLife] = []
    for history in histories:
        drawn = history.drawing.diameter_mm
        points = [
            TrendPoint(on=each.on, value=-each.mean_mm, sigma=DIAMETER_MM)
            for each in sorted(history.diameters, key=lambda each: each.on)
        ]
        nominal = None if drawn is None else -drawn
        found += _lives(history, points, splits=(EventKind.REGROUND,), nominal=nominal)
    return tuple(found)


def _hardness_points(history: RollerHistory) -> list[TrendPoint]:
    return [
        TrendPoint(
            on=each.on,
            value=each.median_shore_a,
            sigma=(median_sigma(each) ** 2 + SAME_READER_SHORE_A**2) ** 0.5,
            temperature_c=each.temperature_c,
            reader=each.reader,
            instrument=each.instrument,
            glazed=each.grade is not None and each.grade.is_glazed,
        )
        for each in sorted(history.hardness, key=lambda each: each.on)
        if each.is_reliable
    ]


def _lives(
    history: RollerHistory,
    points: list[TrendPoint],
    *,
    splits: tuple[EventKind, ...],
    nominal: float | None = None,
) -> Iterator[CoverLife]:
    """The points cut where a life begins. Where nobody wrote that down, life begins with the first reading."""
    begins = sorted({each.on for each in history.events if each.kind.begins_a_cover or each.kind in splits})
    unknown = points and (not begins or begins[0] > points[0].on)
    if unknown:
        begins.insert(0, points[0].on)
    ends = [*begins[1:], None] if begins else []
    ground = set() if splits else {each.on for each in history.events if each.kind is EventKind.REGROUND}
    washes = {each.on for each in history.events if each.kind is EventKind.WASH_CHANGED}
    compound = history.drawing.compound
    ordered = nominal if splits else history.drawing.hardness_shore_a
    for number, (began, ended) in enumerate(zip(begins, ends, strict=True)):
        yield CoverLife(
            roller=history.id,
            number=number,
            press=history.press,
            compound="" if compound is None else compound.value,
            began=began,
            began_known=number > 0 or not unknown,
            ended=ended,
            nominal=ordered if number == 0 or not splits else None,
            points=tuple(each for each in points if began <= each.on and (ended is None or each.on < ended)),
            wash_changes=tuple(sorted(each for each in washes if began < each and (ended is None or each < ended))),
            regrinds=tuple(sorted(each for each in ground if began < each and (ended is None or each < ended))),
        )
