"""Paths: constructed once, painted for each ink with its own grey, or left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pikepdf import Operator

from filmsplit.formats.pdf.looks import fill_looks, stroke_looks
from filmsplit.formats.pdf.paints import tokens
from filmsplit.formats.pdf.planes import Tokens
from filmsplit.formats.pdf.walk_state import line_widths

if TYPE_CHECKING:
    from filmsplit.formats.pdf.looks import Look
    from filmsplit.formats.pdf.walk import Handler, Operands, Walk

THINNEST_DOTS = 1.0
"""Lines are drawn at least one dot wide by the library; thinner ones are drawn less opaque instead."""
HAIRLINE_POINTS = 0.03
"""How wide a line of no width is taken to be: a dot of a plate-setter at 2400 to the inch (common practice)."""


def _construct(operator: str) -> Handler:
    made = Operator(operator)

    def handler(walk: Walk, operands: Operands) -> None:
        walk.planes.construct(operands, made)

    return handler


def _rectangle(walk: Walk, operands: Operands) -> None:
    """A rectangle, one side of it as a curve: the library moves the edges of plain rectangles to whole dots."""
    x, y, width, height = (float(each) for each in operands[:4])
    far, top = x + width, y + height
    for values, operator in (
        ((x, y), "m"),
        ((x + width / 3, y, x + 2 * width / 3, y, far, y), "c"),
        ((far, top), "l"),
        ((x, top), "l"),
        ((), "h"),
    ):
        walk.planes.construct(values, Operator(operator))  # type: ignore[arg-type]


def _clip(operator: str) -> Handler:
    made = Operator(operator)

    def handler(walk: Walk, operands: Operands) -> None:
        walk.clips = True
        walk.planes.construct(operands, made)

    return handler


@dataclass(frozen=True, slots=True, kw_only=True)
class _Painting:
    """What an operator does with a path."""

    fills: bytes = b""
    strokes: bool = False
    closes: bool = False


def _paint(painting: _Painting) -> Handler:
    def handler(walk: Walk, _: Operands) -> None:
        if painting.closes:
            walk.planes.construct([], Operator("h"))
        shown = not walk.hidden
        nothing: tuple[Look | None, ...] = (None,) * walk.count
        filled = fill_looks(walk) if painting.fills and shown else nothing
        stroked = stroke_looks(walk) if painting.strokes and shown else nothing
        thin = min(1.0, max(_dots(walk), 0.0) / THINNEST_DOTS) if painting.strokes else 1.0
        walk.planes.write_path(
            [
                _operations(walk, fill, stroke, painting=painting, thin=thin)
                for fill, stroke in zip(filled, stroked, strict=True)
            ]
        )
        walk.clips = False

    return handler


def _dots(walk: Walk) -> float:
    """Width of a line in dots."""
    return max(line_widths(walk), HAIRLINE_POINTS / walk.page.dot)


def _operations(
    walk: Walk, fill: Look | None, stroke: Look | None, *, painting: _Painting, thin: float
) -> tuple[tuple[Tokens, bytes], ...]:
    """Tokens and operators for one ink; none where it neither paints nor clips."""
    if fill is None and stroke is None:
        return ((tokens(), b"n"),) if walk.clips else ()
    opaque = walk.named_alpha(walk.state.stroke_alpha * thin)
    if fill is not None and stroke is not None and fill.blend == stroke.blend and thin == 1.0:
        both = {b"f": b"B", b"f*": b"B*"}[painting.fills]
        together = tokens(fill=fill.token, stroke=stroke.token, blend=fill.blend, stroke_alpha=opaque)
        return ((together, both),)
    made = []
    if fill is not None:
        made.append((tokens(fill=fill.token, blend=fill.blend), painting.fills))
    if stroke is not None:
        made.append((tokens(stroke=stroke.token, blend=stroke.blend, stroke_alpha=opaque), b"S"))
    return tuple(made)


PAINTINGS = {
    "n": _Painting(),
    "f": _Painting(fills=b"f"),
    "F": _Painting(fills=b"f"),
    "f*": _Painting(fills=b"f*"),
    "S": _Painting(strokes=True),
    "s": _Painting(strokes=True, closes=True),
    "B": _Painting(fills=b"f", strokes=True),
    "B*": _Painting(fills=b"f*", strokes=True),
    "b": _Painting(fills=b"f", strokes=True, closes=True),
    "b*": _Painting(fills=b"f*", strokes=True, closes=True),
}

HANDLERS: dict[str, Handler] = {
    **{each: _construct(each) for each in ("m", "l", "c", "v", "y", "h")},
    "re": _rectangle,
    "W": _clip("W"),
    "W*": _clip("W*"),
    **{name: _paint(painting) for name, painting in PAINTINGS.items()},
}
