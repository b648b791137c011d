"""What is foreseen in a person's words."""

from __future__ import annotations

from filmsplit.actions.foresee import GhostTold
from filmsplit.messages import label
from filmsplit.studies.ghosts import Box

HARDLY = 0.5
"""An element whose going takes less than this part of the ghost with it is not named as its cause."""


def place_words(box: Box) -> str:
    """From the lead edge, and from the operator's side, in whole mm."""
    return label(
        "foresee.at",
        lead=round(box.lead_mm),
        tail=round(box.tail_mm),
        operator=round(box.operator_mm),
        gear=round(box.gear_mm),
    )


def cause_words(ghost: GhostTold) -> str:
    """The element and the form roller, with the part that goes without it where that was tried."""
    cause = ghost.cause
    if cause is None or cause.element is None:
        return label("foresee.no_cause")
    values = {"element": place_words(cause.element), "coverage": round(100 * cause.coverage)}
    by = label("foresee.by", form=label("foresee.or").join(cause.forms), turns=cause.turns)
    if cause.explained is None:
        return label("foresee.likely", by=by, **values)
    if cause.explained < HARDLY:
        return label("foresee.several")
    return label("foresee.traced", by=by, percent=round(100 * min(cause.explained, 1.0)), **values)
