"""Operators that choose a colour: nothing is written for them before something is painted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pikepdf
from pikepdf import Name

from filmsplit.formats.pdf.colour import Space
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.state import Paint

if TYPE_CHECKING:
    from filmsplit.formats.pdf.walk import Handler, Operands, Walk

DEVICE = {"G": "/DeviceGray", "RG": "/DeviceRGB", "K": "/DeviceCMYK"}


def _space(walk: Walk, name: str) -> Space:
    """A space by the name a stream gives it."""
    found = walk.spaces.get(name)
    if found is None:
        own = walk.resources.get("/ColorSpace", pikepdf.Dictionary()).get(name, Name(name))
        found = walk.spaces[name] = walk.colours.space_of(own, walk.resources)
    return found


def _set(walk: Walk, paint: Paint, *, stroke: bool) -> None:
    if stroke:
        walk.state.stroke = paint
    else:
        walk.state.fill = paint


def _device(operator: str, *, stroke: bool) -> Handler:
    def handler(walk: Walk, operands: Operands) -> None:
        space = _space(walk, DEVICE[operator])
        values = tuple(float(each) for each in operands[: space.components])
        if len(values) != space.components:
            raise Malformed("components are missing")
        _set(walk, Paint(space=space, values=values), stroke=stroke)

    return handler


def _choose(*, stroke: bool) -> Handler:
    def handler(walk: Walk, operands: Operands) -> None:
        space = _space(walk, str(operands[0]))
        _set(walk, Paint(space=space, values=space.initial), stroke=stroke)

    return handler


def _components(*, stroke: bool) -> Handler:
    def handler(walk: Walk, operands: Operands) -> None:
        space = (walk.state.stroke if stroke else walk.state.fill).space
        pattern = None
        if operands and isinstance(operands[-1], Name):
            pattern, operands = walk.resource("/Pattern", operands[-1]), operands[:-1]
        values = tuple(float(each) for each in operands)
        if pattern is None and len(values) != space.components:
            raise Malformed("components are missing")
        _set(walk, Paint(space=space, values=values, pattern=pattern), stroke=stroke)

    return handler


HANDLERS: dict[str, Handler] = {
    **{each: _device(each, stroke=True) for each in DEVICE},
    **{each.lower(): _device(each, stroke=False) for each in DEVICE},
    "CS": _choose(stroke=True),
    "cs": _choose(stroke=False),
    "SC": _components(stroke=True),
    "SCN": _components(stroke=True),
    "sc": _components(stroke=False),
    "scn": _components(stroke=False),
}
