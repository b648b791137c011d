"""Text: placed alike for every ink, shown with its own grey, or not shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pikepdf
from pikepdf import Dictionary, Name, Operator

from filmsplit.formats.pdf.looks import fill_looks, stroke_looks
from filmsplit.formats.pdf.paints import tokens
from filmsplit.formats.pdf.planes import Slot, Tokens
from filmsplit.formats.pdf.rewrite import coloured_glyphs

if TYPE_CHECKING:
    from filmsplit.formats.pdf.looks import Look
    from filmsplit.formats.pdf.walk import Handler, Operands, Walk

FILLS, STROKES, CLIPS = frozenset({0, 2, 4, 6}), frozenset({1, 2, 5, 6}), 4
"""Text rendering modes (ISO 32000-2, table 104); from 4 on they clip, too."""
MODES = {(True, False): 0, (False, True): 1, (True, True): 2, (False, False): 3}
FILES = ("/FontFile", "/FontFile2", "/FontFile3")


def _every_ink(operator: str) -> Handler:
    made = Operator(operator)

    def handler(walk: Walk, operands: Operands) -> None:
        walk.planes.common(operands, made)

    return handler


def _font(walk: Walk, operands: Operands) -> None:
    font = walk.resource("/Font", operands[0])
    walk.state.font, walk.state.font_size = font, float(operands[1])
    walk.named.keep("/Font", str(operands[0]), thing=font)
    walk.planes.common(operands[:2], Operator("Tf"))
    walk.planes.forget(Slot.FONT)
    if not _is_embedded(font):
        walk.ledger.note("pdf-font-not-embedded", font=str(font.get("/BaseFont", "?"))[1:61])


def _is_embedded(font: pikepdf.Object) -> bool:
    """Whether a font brings its letters along (Type 3 always does)."""
    if not isinstance(font, Dictionary) or font.get("/Subtype") == Name.Type3:
        return True
    below = font.get("/DescendantFonts")
    holder = below[0] if below is not None and len(below) else font
    descriptor = holder.get("/FontDescriptor", Dictionary())
    return any(each in descriptor for each in FILES)


def _mode(walk: Walk, operands: Operands) -> None:
    walk.state.text_mode = int(operands[0])


def _show(operator: str) -> Handler:
    def handler(walk: Walk, operands: Operands) -> None:
        shown = pikepdf.unparse_content_stream([(operands, Operator(operator))])
        mode, nothing = walk.state.text_mode, (None,) * walk.count
        fills = mode in FILLS and not walk.hidden
        strokes = mode in STROKES and not walk.hidden
        fonts = coloured_glyphs(walk)
        for plane, (fill, stroke) in enumerate(
            zip(fill_looks(walk) if fills else nothing, stroke_looks(walk) if strokes else nothing, strict=True)
        ):
            walk.planes.write(plane, shown, tokens=_tokens(walk, fill, stroke, font=fonts))

    return handler


def _tokens(walk: Walk, fill: Look | None, stroke: Look | None, *, font: bytes | None) -> Tokens:
    """How one ink shows text. Text that is not shown still moves on."""
    clips = CLIPS if walk.state.text_mode >= CLIPS else 0
    mode = b"%d Tr" % (MODES[fill is not None, stroke is not None] + clips)
    blend = fill.blend if fill is not None else stroke.blend if stroke is not None else None
    return tokens(
        fill=fill.token if fill is not None else None,
        stroke=stroke.token if stroke is not None else None,
        text_mode=mode,
        blend=blend,
        stroke_alpha=walk.named_alpha(walk.state.stroke_alpha) if stroke is not None else None,
        font=font,
    )


HANDLERS: dict[str, Handler] = {
    **{each: _every_ink(each) for each in ("BT", "ET", "Tc", "Tw", "Tz", "TL", "Ts", "Td", "TD", "Tm", "T*")},
    "Tf": _font,
    "Tr": _mode,
    **{each: _show(each) for each in ("Tj", "TJ", "'", '"')},
}
