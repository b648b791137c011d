"""Pictures compared as drawings: a curve is the same curve wherever its points were put."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

HAIR_MM = 0.03
"""Coordinates are written to 0.01 mm; the last bit of a film differs from processor to processor, and so a point or
two that the eye cannot see."""

_POINTS = re.compile(r'\bd="(M[^"A-KN-Za-z]*)"')
"""Paths of straight lines."""
Points = NDArray[np.float64]


def differ(one: str, other: str) -> str:
    """What differs between two pictures; nothing where the eye sees none."""
    if _POINTS.sub("", one) != _POINTS.sub("", other):
        return "something besides the curves"
    for number, (a, b) in enumerate(zip(_POINTS.findall(one), _POINTS.findall(other), strict=True)):
        ours, theirs = _lines(a), _lines(b)
        if len(ours) != len(theirs):
            return f"curve {number} has other parts"
        for here, there in zip(ours, theirs, strict=True):
            if max(_farthest(here, there), _farthest(there, here)) > HAIR_MM:
                return f"curve {number} lies elsewhere"
    return ""


def _lines(path: str) -> list[Points]:
    parts = [re.findall(r"-?\d+(?:\.\d+)?", part) for part in path.split("M")[1:]]
    return [np.array(part, dtype=np.float64).reshape(-1, 2) for part in parts]


def _farthest(points: Points, line: Points) -> float:
    """How far the farthest of some points lies from a line through others, in the units of both."""
    if len(line) == 1:
        return float(np.max(np.hypot(*(points - line[0]).T)))
    start, way = line[:-1], np.diff(line, axis=0)
    length2 = np.maximum(np.sum(way**2, axis=1), 1e-12)
    along = np.clip(np.sum((points[:, None] - start) * way, axis=2) / length2, 0.0, 1.0)
    gap = points[:, None] - (start + along[:, :, None] * way)
    return float(np.max(np.min(np.hypot(gap[:, :, 0], gap[:, :, 1]), axis=1)))
