"""Whether an aim is one that a process ink is made for: the film it is asked to print, and the colour of its solid."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.ink.colour import Lab, colour_difference, lab_distance
from filmsplit.messages import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class AimWindow:
    """Films within which an ink prints its colour, um, and where that is from."""

    low_um: float
    high_um: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SolidColour:
    """Colour of an ink's solid and how far a print may be from it: delta E*ab binds, delta E 2000 informs."""

    lab: Lab
    delta_e_ab: float
    delta_e_00: float
    source: str


def aim_problems(film_um: float, *, ink: str, window: AimWindow) -> tuple[Problem, ...]:
    """A warning where an aim lies outside the films the ink is made for; nothing where it lies within."""
    if window.low_um <= film_um <= window.high_um:
        return ()
    values = {"ink": ink, "film_um": film_um, "low_um": window.low_um, "high_um": window.high_um}
    slug = "setup-aim-thin" if film_um < window.low_um else "setup-aim-thick"
    return (Problem(slug, values | {"source": window.source}),)


def colour_problems(measured: Lab, *, ink: str, solid: SolidColour) -> tuple[Problem, ...]:
    """A warning where a solid is beyond the binding tolerance, a remark where only the informing one is passed."""
    distance, difference = lab_distance(measured, solid.lab), colour_difference(measured, solid.lab)
    values = {"ink": ink, "distance": distance, "difference": difference, "source": solid.source}
    if distance > solid.delta_e_ab:
        return (Problem("setup-colour-beyond", values | {"allowed": solid.delta_e_ab}),)
    if difference > solid.delta_e_00:
        return (Problem("setup-colour-doubtful", values | {"allowed": solid.delta_e_00}),)
    return ()
