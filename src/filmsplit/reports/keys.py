"""Keys as they stand on paper: the reading in the press's own way, and the opening for the bar."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from filmsplit.messages import label
from filmsplit.press.words import KeyKind
from filmsplit.reports.fields import printed
from filmsplit.setup.readings import KeyReading

EIGHTHS = 8
"""Turns are counted to the eighth by hand (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyOnPaper:
    """One key: ``whole`` and ``part`` together are its reading, as ``1`` and ``3/8``."""

    zone: int = printed("number of the ink zone, from the operator's side, from 1")
    width_mm: float = printed("width of the zone along the fountain", "mm")
    whole: str = printed("whole part of the reading: divisions, steps, or turns from just closed")
    part: str = printed("what comes on top of the whole part; empty for none")
    opening: float = printed("opening as a part of the key's range", "0..1")
    coverage: float | None = printed("part of the zone the plate asks ink for; none if unknown", "0..1", default=None)

    @property
    def reading(self) -> str:
        """Both parts as one text."""
        return f"{self.whole} {self.part}".strip()


def keys_on_paper(
    readings: Sequence[KeyReading],
    *,
    kind: KeyKind,
    widths_mm: Sequence[float],
    coverage: Sequence[float] | None = None,
) -> tuple[KeyOnPaper, ...]:
    """The keys of a fountain, from the operator's side. ``ValueError`` where readings, widths, coverage do not pair."""
    parts = [None] * len(readings) if coverage is None else [float(part) for part in coverage]
    return tuple(
        replace(_on_paper(each, kind=kind, width_mm=width_mm), coverage=part)
        for each, width_mm, part in zip(readings, widths_mm, parts, strict=True)
    )


def how_to_read(kind: KeyKind) -> str:
    """What the numbers on paper mean, and from which side a key comes to its place."""
    return label(f"key_paper.{kind.value}")


def in_words(reading: float, kind: KeyKind) -> str:
    """A reading or a move as this press says it: turns in eighths where they are whole ones."""
    if kind is KeyKind.UNNUMBERED and math.isclose(reading * EIGHTHS, round(reading * EIGHTHS), abs_tol=1e-6):
        return " ".join(part for part in _turns(reading) if part)
    return f"{reading:.4g}"


def _on_paper(each: KeyReading, *, kind: KeyKind, width_mm: float) -> KeyOnPaper:
    if each.opening <= 0:
        whole, part = label("key_paper.shut"), ""
    elif kind is KeyKind.UNNUMBERED:
        whole, part = _turns(each.reading)
    else:
        whole, part = f"{each.reading:.4g}", ""
    return KeyOnPaper(zone=each.zone, width_mm=width_mm, whole=whole, part=part, opening=each.opening)


def _turns(turns: float) -> tuple[str, str]:
    """``1.375`` as ``("1", "3/8")``. ``ValueError`` where it is no whole number of eighths."""
    eighths = turns * EIGHTHS
    if not math.isclose(eighths, round(eighths), abs_tol=1e-6):
        raise ValueError(f"{turns} turns cannot be set by hand: not a whole number of eighths")
    whole, rest = divmod(round(eighths), EIGHTHS)
    part = str(Fraction(rest, EIGHTHS)) if rest else ""
    return (str(whole) if whole or not part else ""), part
