"""How far a film travels along a way, nip to nip, on true centres."""

from __future__ import annotations

from itertools import pairwise

from filmsplit.press.nips import Round, rounds_of
from filmsplit.press.paths import Path
from filmsplit.press.press import Unit
from filmsplit.press.words import MotionKind


def travel_mm(unit: Unit, path: Path) -> float | None:
    """Travel of the surfaces from the first roller's nip to the plate, along the arcs that ``path`` follows.

    A ductor counts as nothing: it stands still in flight. ``None`` where a centre is unknown (survey the press first).
    """
    if any(roller.centre is None for roller in unit.rollers):
        return None
    rounds = {round_.member: round_ for round_ in rounds_of(unit)}
    legs = zip(path.rollers[1:], pairwise(path.nips), strict=True)
    return sum(
        _arc_mm(rounds[roller], arrives, leaves)
        for roller, (arrives, leaves) in legs
        if unit.roller(roller).motion.kind is not MotionKind.DUCTS
    )


def _arc_mm(surface: Round, arrives: str, leaves: str) -> float:
    """From one nip to another, going with the turn."""
    return (surface.stop(leaves).place_mm - surface.stop(arrives).place_mm) % surface.length_mm
