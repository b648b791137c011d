"""What is foreseen in a person's words."""

from __future__ import annotations

from filmsplit.actions.foresee import AreaTold, GhostTold, InkForeseen
from filmsplit.messages import label
from filmsplit.studies.ghosts import Box

FALL_OFF = 0.02
"""An area that falls off by less is not mentioned."""
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


def strength_words(ghost: GhostTold) -> str:
    """How strong, dark or light; in density and colour where they are known."""
    words = label("foresee.dark" if ghost.dark else "foresee.light", percent=f"{100 * abs(ghost.strength):.1f}")
    if ghost.density is not None:
        words = label("foresee.with_density", words=words, density=f"{ghost.density:+.2f}")
    if ghost.delta_e_00 is not None:
        words = label("foresee.with_colour", words=words, difference=f"{ghost.delta_e_00:.1f}")
    return words


def remarks_of(ink: InkForeseen) -> list[str]:
    """What to know besides ghosts: zones that fight, ripple, the first sheets, starved solids, fall-off."""
    return [*_course_words(ink), *(words for area in ink.areas for words in _area_words(area))]


def _course_words(ink: InkForeseen) -> list[str]:
    said = []
    if ink.fighting:
        said.append(label("foresee.fighting", zones=", ".join(map(str, ink.fighting))))
    if ink.course is not None:
        between, along = (f"{100 * each:.1f}" for each in (ink.course.between_sheets, ink.course.along_sheet))
        said.append(label("foresee.between", percent=between, along=along))
        sheets = [
            label("foresee.at_sheet", sheet=at.sheet, film=f"{100 * at.film:.0f}", ghost=f"{100 * at.ghost:.1f}")
            for at in ink.course.start
        ]
        said.append(label("foresee.start", sheets="; ".join(sheets)))
    return said


def _area_words(area: AreaTold) -> list[str]:
    values = {"place": place_words(area.at), "coverage": round(100 * area.coverage)}
    said = []
    if area.starved:
        said.append(label("foresee.starved", percent=round(100 * area.film_over_aim), **values))
    if abs(area.fall_off) >= FALL_OFF:
        key = "foresee.falls" if area.fall_off < 0 else "foresee.rises"
        said.append(label(key, percent=f"{100 * abs(area.fall_off):.1f}", **values))
    return said
