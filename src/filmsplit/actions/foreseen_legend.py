"""The figures of what lies over the artwork of a sheet foreseen, in words with their units."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import Enum

from filmsplit.actions.foresee import Foreseen
from filmsplit.actions.foresee_pictures import image_field
from filmsplit.figures.sheet_field import Field
from filmsplit.messages import label
from filmsplit.setup.aim import density_of

Lines = tuple[tuple[str, str], ...]
"""Name, and value with its unit."""


class Layer(Enum):
    """What lies over the artwork."""

    GHOST = "ghost"
    FILM = "film"
    DENSITY = "density"


def legend_of(found: Foreseen, place: int, layer: Layer) -> Lines:
    """The legend of a layer of the ink at ``place``; empty where the layer cannot be shown."""
    if not found.answer.inks[place].settled:
        return ()
    if layer is Layer.GHOST:
        return tuple(_ghosts(found, place))
    aim_um, curve = found.answer.inks[place].aim_um, found.job.studies[place].question.curve
    if layer is Layer.FILM:
        return (*_ends(image_field(found, place), _um), (label("legend.aim_film"), _um(aim_um)), _white())
    if curve is None:
        return ()
    aim = (label("legend.aim_density"), _density(density_of(aim_um, curve)))
    return (*_ends(image_field(found, place, curve=curve), _density), aim, _white())


def _ghosts(found: Foreseen, place: int) -> Iterator[tuple[str, str]]:
    ghosts = found.answer.inks[place].ghosts
    yield label("legend.grey"), label("legend.grey_is")
    for key, dark in (("dark", True), ("light", False)):
        some = [abs(each.strength) for each in ghosts if each.dark is dark]
        told = label("legend.so_many", count=len(some), percent=f"{100 * max(some, default=0.0):.1f}")
        yield label(f"legend.{key}"), told if some else label("legend.none")


def _ends(field: Field, words: Callable[[float], str]) -> Iterator[tuple[str, str]]:
    if not field.empty:
        yield label("legend.least"), words(field.smallest.um)
        yield label("legend.median"), words(field.median_um)
        yield label("legend.most"), words(field.largest.um)


def _white() -> tuple[str, str]:
    return label("legend.white"), label("legend.white_is")


def _um(value: float) -> str:
    return label("legend.um", value=f"{value:.2f}")


def _density(value: float) -> str:
    return label("legend.density", value=f"{value:.2f}")
