"""What looks wrong with a map and only the person can know. Nothing is turned over in silence."""

from __future__ import annotations

from filmsplit.artwork.coverage import CoverageMap, StepKind
from filmsplit.messages import Problem

MOSTLY_INK = 0.60
"""Share above which a map looks like a negative: sheet work is mostly paper (common practice; no published limit)."""


def doubts(artwork: CoverageMap, *, mostly_ink: float = MOSTLY_INK) -> tuple[Problem, ...]:
    """Questions to the person: an empty map, one that may be a negative."""
    values: dict[str, object] = {"ink": artwork.ink, "file": artwork.source.file, "percent": 100 * artwork.mean}
    if artwork.inked_mm2 == 0:
        return (Problem("artwork-empty", values),)
    told = any(step.kind is StepKind.NEGATIVE for step in artwork.steps)
    if artwork.mean > mostly_ink and not told:
        return (Problem("artwork-perhaps-negative", values),)
    return ()
