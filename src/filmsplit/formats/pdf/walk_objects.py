"""Forms, pictures and shadings that a stream puts down whole."""

from __future__ import annotations

from math import floor, hypot, log2
from typing import TYPE_CHECKING

import pikepdf
from pikepdf import Name, Stream

from filmsplit.formats.pdf.inline import inline_picture
from filmsplit.formats.pdf.looks import ObjectLook, fill_looks, object_looks
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.paints import NORMAL, blend_of, blend_token, tokens
from filmsplit.formats.pdf.pictures import ink_picture
from filmsplit.formats.pdf.rewrite import form, is_group
from filmsplit.formats.pdf.shadings import ink_shading

if TYPE_CHECKING:
    from filmsplit.formats.pdf.colour import Greys
    from filmsplit.formats.pdf.walk import Handler, Operands, Walk


def _object(walk: Walk, operands: Operands) -> None:
    thing = walk.resource("/XObject", operands[0])
    if not isinstance(thing, Stream):
        raise Malformed("an object that is no stream")
    if walk.hidden or not walk.page.layers.shown(thing.get("/OC")):
        return
    kind = thing.get("/Subtype")
    if kind == Name.Form:
        _form(walk, thing)
    elif kind == Name.Image:
        _picture(walk, thing)
    else:
        walk.ledger.note("pdf-object-unknown", kind=str(kind)[:40])


def _form(walk: Walk, thing: Stream) -> None:
    """A form, rewritten for each ink. A group is put down with the blend mode in force, other forms inherit it."""
    made = form(walk, thing)
    if made is None:
        return
    state = walk.state
    walk.translucent = walk.translucent or made.translucent
    walk.blended = walk.blended or made.blended
    if is_group(thing):
        group = thing["/Group"]
        plain = state.blend in NORMAL and state.fill_alpha == 1.0 and not state.masked
        if not plain:
            walk.translucent = True
        if not plain and made.blended and not group.get("/I", False):
            walk.ledger.note("pdf-group-not-isolated")
    name = walk.named.own("/XObject", made.streams, key=("form", thing.objgen, made.key)) + b" Do"
    for plane, stream in enumerate(made.streams):
        if stream is not None:
            blend = blend_token(walk.named, blend_of(state, plane))
            walk.planes.write(plane, name, tokens=tokens(blend=blend))


def _picture(walk: Walk, image: Stream) -> None:
    if image.get("/ImageMask", False):
        _stencil(walk, image)
        return
    drawn = _drawn(walk)
    key = (image.objgen, id(walk.colours), drawn)
    picture = walk.page.pictures.get(key)
    if picture is None:
        picture = walk.page.pictures[key] = ink_picture(image, walk.colours, walk.resources, drawn=drawn)
    if "/SMask" in image:
        walk.translucent = True
    looks = object_looks(walk, picture.inks)
    streams = [_stream(picture, plane, look) for plane, look in enumerate(looks)]
    beneath = tuple(look is not None and look.beneath for look in looks)
    name = walk.named.own("/XObject", streams, key=(key, beneath)) + b" Do"
    _put_down(walk, looks, name)


def _drawn(walk: Walk) -> tuple[float, float]:
    """Dots over which a picture is drawn, across and down, rounded down to quarters of a doubling: pictures that are
    put down often, in nearly the same size, are made once."""
    a, b, c, d, _, _ = walk.state.matrix
    across, down = (max(hypot(*side) / walk.page.dot, 1.0) for side in ((a, b), (c, d)))
    return 2.0 ** (floor(4 * log2(across)) / 4), 2.0 ** (floor(4 * log2(down)) / 4)


def _stream(greys: Greys, plane: int, look: ObjectLook | None) -> pikepdf.Object | None:
    """The grey picture of one ink; a white one of its shape where it has none or lies beneath."""
    if look is None:
        return None
    grey = None if look.beneath else greys.grey(plane)
    return greys.white() if grey is None else grey


def _stencil(walk: Walk, image: Stream) -> None:
    """A mask through which the current colour is painted."""
    name = walk.named.shared("/XObject", image, key=("stencil", image.objgen)) + b" Do"
    for plane, look in enumerate(fill_looks(walk)):
        if look is not None:
            walk.planes.write(plane, name, tokens=tokens(fill=look.token, blend=look.blend))


def _inline(walk: Walk, operands: Operands) -> None:
    image = inline_picture(operands[0], walk.page.pdf)
    if not walk.hidden:
        _picture(walk, image)


def _shading(walk: Walk, operands: Operands) -> None:
    shading = walk.resource("/Shading", operands[0])
    if walk.hidden:
        return
    made = ink_shading(shading, walk.colours, walk.resources)
    looks = object_looks(walk, made.inks)
    things = [
        None if look is None else made.white() if look.beneath else made.grey(plane) for plane, look in enumerate(looks)
    ]
    beneath = tuple(look is not None and look.beneath for look in looks)
    name = walk.named.own("/Shading", things, key=("shading", str(operands[0]), beneath)) + b" sh"
    _put_down(walk, looks, name)


def _put_down(walk: Walk, looks: tuple[ObjectLook | None, ...], painted: bytes) -> None:
    for plane, look in enumerate(looks):
        if look is not None:
            walk.planes.write(plane, painted, tokens=tokens(blend=look.blend))


HANDLERS: dict[str, Handler] = {"Do": _object, "sh": _shading, "INLINE IMAGE": _inline}
