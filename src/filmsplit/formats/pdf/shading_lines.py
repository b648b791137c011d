"""Greys along a line as a function of straight pieces: made of dictionaries only."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from pikepdf import Array, Dictionary

from filmsplit.formats.pdf.colour import Numbers

STRAIGHT = 0.0005
"""Greys that lie no farther off a straight line are taken to be on it: an eighth of one of 256."""
TOP = 255
TIED = 0.02
"""Of one grey of 256: what lies so near to the middle between two is rounded the same way all along a line."""
MANY = 0.2
"""A fifth of all greys of a line tied is no accident: it runs at a grey a step."""
RUN = 16
"""Steps that are rounded the same way before it is the other way's turn."""


def grey_line(grey: Numbers) -> Dictionary:
    """A function of domain 0 to 1 through greys at equal distances (ISO 32000-2, 7.10.4: stitched)."""
    grey, forced = _untied(grey)
    corners = _corners(grey, forced)
    places = np.array(corners) / (len(grey) - 1)
    pieces = [
        Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=_one(grey[first]), C1=_one(grey[last]), N=1)
        for first, last in pairwise(corners)
    ]
    return Dictionary(
        FunctionType=3,
        Domain=Array([0, 1]),
        Functions=Array(pieces),
        Bounds=Array([round(float(each), 6) for each in places[1:-1]]),
        Encode=Array([0, 1] * len(pieces)),
    )


def _one(grey: float) -> Array:
    return Array([round(float(grey), 6)])


def _untied(grey: Numbers) -> tuple[Numbers, list[int]]:
    """Greys that can be drawn without leaning to one side, and the corners it takes. From none to full over 256 steps
    every grey lies in the middle between two that can be drawn, and half of one, 0.002, would be lost all along."""
    level = grey * TOP
    is_tied = np.abs(level - np.floor(level) - 0.5) < TIED
    if is_tied.mean() < MANY:
        return grey, [0, len(grey) - 1]
    steps = np.arange(len(grey))
    up = np.where(steps // RUN % 2, -1.0, 1.0)
    forced = {0, len(grey) - 1, *steps[::RUN].tolist(), *steps[RUN - 1 :: RUN].tolist()}
    return grey + is_tied * up * (2 * TIED / TOP), sorted(forced)


def _corners(grey: Numbers, forced: list[int]) -> list[int]:
    """Where straight pieces meet: each stretch is parted at what lies farthest off, until nothing does."""
    found, waiting = set(forced), list(pairwise(forced))
    while waiting:
        first, last = waiting.pop()
        if last - first < 2:
            continue
        straight = np.linspace(grey[first], grey[last], last - first + 1)
        off = np.abs(grey[first : last + 1] - straight)
        if off.max() > STRAIGHT:
            middle = first + int(off.argmax())
            found.add(middle)
            waiting += [(first, middle), (middle, last)]
    return sorted(found)
