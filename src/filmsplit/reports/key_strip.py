"""The key strip: every key at its true place, to cut out and lay along the fountain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from filmsplit.messages import Problem, Refusal, label
from filmsplit.reports.fields import printed
from filmsplit.reports.keys import KeyOnPaper
from filmsplit.reports.typeset import Paper, typeset

MARGIN_MM = 12.0
"""What ordinary office printers leave white is 4 to 6 mm (common practice); twice that keeps clear of it."""
TAB_MM = 10.0
"""Where the next part of the strip is stuck on."""
CHECK_MM = 100.0
"""Length of the line to measure with a steel rule: a printer that scales is caught by it."""

WORDS = ("heading", "check", "sweep", "operator", "gear", "join", "tab")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyStrip:
    """What a key strip shows. ``keys`` go from the operator's side; one fountain."""

    press: str = printed("name of the press")
    unit: str = printed("name of the unit; empty for a press of one unit")
    job: str = printed("title of the job")
    keys: tuple[KeyOnPaper, ...] = printed("every key, from the operator's side")
    how_to_read: str = printed("what the numbers mean on this press")
    sweep: str = printed("setting of the sweep, in the press's own words")
    code: str = printed("code that leads back to the record; empty for none")
    operator_left: bool = printed("whether the operator's side is at the left of whoever faces the keys", default=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedKey:
    """A key on a tile: where it begins, from the left end of the tile."""

    key: KeyOnPaper
    left_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One piece of the strip. A piece ends where a key ends, so that no number is cut in two."""

    keys: tuple[PlacedKey, ...]

    @property
    def length_mm(self) -> float:
        """Without the tab."""
        return self.keys[-1].left_mm + self.keys[-1].key.width_mm


def tiles_of(keys: Sequence[KeyOnPaper], *, paper: Paper, operator_left: bool = True) -> tuple[Tile, ...]:
    """The pieces from left to right, each as many whole keys as fit along the longer side of the paper.

    :class:`Refusal` where one key is wider than the paper.
    """
    room_mm = max(paper.size_mm) - 2 * MARGIN_MM - TAB_MM
    wide = [key for key in keys if key.width_mm > room_mm]
    if wide:
        values = {"zone": wide[0].zone, "width_mm": wide[0].width_mm, "room_mm": room_mm}
        raise Refusal(Problem("key-strip-too-wide", values))
    pieces, used_mm = list[list[KeyOnPaper]](), room_mm
    for key in keys if operator_left else reversed(keys):
        if used_mm + key.width_mm > room_mm + 1e-9:
            pieces.append([])
            used_mm = 0.0
        pieces[-1].append(key)
        used_mm += key.width_mm
    return tuple(_tile(piece) for piece in pieces)


def key_strip_pdf(strip: KeyStrip, *, paper: Paper) -> bytes:
    """The strip as a PDF on ``paper``, sideways. :class:`Refusal` as :func:`tiles_of`."""
    tiles = tiles_of(strip.keys, paper=paper, operator_left=strip.operator_left)
    words = {word: label(f"key_strip.{word}") for word in WORDS}
    subject = " · ".join(each for each in (strip.press, strip.unit, strip.job) if each)
    data = {
        "words": words,
        "title": f"{words['heading']}: {subject}",
        "subject": subject,
        "sweep": strip.sweep or label("setup_fact.no-sweep"),
        "how": strip.how_to_read,
        "code": strip.code,
        "margin": MARGIN_MM,
        "tab": TAB_MM,
        "check": CHECK_MM,
        "ends": [words["operator"], words["gear"]][:: 1 if strip.operator_left else -1],
        "tiles": [_told(tile) for tile in tiles],
    }
    return typeset("key_strip.typ", data, paper=paper)


def _tile(keys: Sequence[KeyOnPaper]) -> Tile:
    lefts_mm = accumulate((key.width_mm for key in keys), initial=0.0)
    return Tile(keys=tuple(PlacedKey(key=key, left_mm=left) for key, left in zip(keys, lefts_mm, strict=False)))


def _told(tile: Tile) -> dict[str, object]:
    keys = [
        {
            "zone": each.key.zone,
            "left": each.left_mm,
            "width": each.key.width_mm,
            "whole": each.key.whole,
            "part": each.key.part,
            "opening": min(1.0, each.key.opening),
        }
        for each in tile.keys
    ]
    return {"length": tile.length_mm, "keys": keys}
