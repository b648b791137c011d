"""Operators that change the graphics state: what says which ink is held back, the rest goes to every ink."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pikepdf
from pikepdf import Array, Dictionary, Name, Operator

from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.paints import NORMAL, NOT_SEPARABLE, SEPARABLE
from filmsplit.formats.pdf.rewrite import soft_mask
from filmsplit.formats.pdf.state import product

if TYPE_CHECKING:
    from filmsplit.formats.pdf.walk import Handler, Operands, Walk

KEPT = ("/LW", "/LC", "/LJ", "/ML", "/D", "/ca", "/AIS", "/TK", "/SA")
"""Entries of a graphics state dictionary that are the same for every ink."""
TRANSFER = ("/TR", "/TR2")


def _every_ink(operator: str) -> Handler:
    """An operator that every ink gets as it is."""
    made = Operator(operator)

    def handler(walk: Walk, operands: Operands) -> None:
        walk.planes.common(operands, made)

    return handler


def _nothing(_walk: Walk, _: Operands) -> None:
    """What changes nothing on a plate."""


def _save(walk: Walk, _: Operands) -> None:
    walk.save()
    walk.planes.common([], Operator("q"))


def _restore(walk: Walk, _: Operands) -> None:
    if walk.restore():
        walk.planes.common([], Operator("Q"))
    else:
        walk.ledger.note("pdf-restore-without-save")


def _matrix(walk: Walk, operands: Operands) -> None:
    a, b, c, d, e, f = (float(each) for each in operands[:6])
    walk.state.matrix = product((a, b, c, d, e, f), walk.state.matrix)
    walk.planes.common(operands, Operator("cm"))


def _line_width(walk: Walk, operands: Operands) -> None:
    walk.state.line_width = abs(float(operands[0]))
    walk.planes.common(operands, Operator("w"))


def _graphics_state(walk: Walk, operands: Operands) -> None:
    asked = walk.resource("/ExtGState", operands[0])
    if not isinstance(asked, Dictionary):
        raise Malformed("a graphics state that is no dictionary")
    _overprint(walk, asked)
    _alpha(walk, asked)
    kept = Dictionary({key: asked[key] for key in KEPT if key in asked})
    if "/BM" in asked:
        _blend(walk, asked["/BM"])
    if "/SMask" in asked:
        mask = soft_mask(walk, asked["/SMask"])
        kept["/SMask"] = mask
        walk.state.masked = mask != Name.None_
    if any(key in asked and asked[key] not in (Name.Identity, Name.Default) for key in TRANSFER):
        walk.ledger.note("pdf-transfer-curve")
    if "/Font" in asked:
        walk.ledger.note("pdf-font-in-state")
    if "/LW" in asked:
        walk.state.line_width = abs(float(asked["/LW"]))
    if kept.keys():
        name = walk.named.shared("/ExtGState", kept, key=("state", kept.unparse()))
        walk.planes.common([Name(name.decode())], Operator("gs"))


def _overprint(walk: Walk, asked: Dictionary) -> None:
    """Overprint for lines is for areas, too, unless it is told for them (ISO 32000-2, table 57)."""
    state = walk.state
    if "/OP" in asked:
        state.stroke_over = state.fill_over = bool(asked["/OP"])
    if "/op" in asked:
        state.fill_over = bool(asked["/op"])
    if "/OPM" in asked:
        state.overprint_mode = int(asked["/OPM"])


def _alpha(walk: Walk, asked: Dictionary) -> None:
    state = walk.state
    if "/CA" in asked:
        state.stroke_alpha = float(asked["/CA"])
    if "/ca" in asked:
        state.fill_alpha = float(asked["/ca"])


def _blend(walk: Walk, asked: pikepdf.Object) -> None:
    """The first mode that is known, of those named."""
    named = [str(each)[1:] for each in asked] if isinstance(asked, Array) else [str(asked)[1:]]
    known = next((each for each in named if each in SEPARABLE or each in NOT_SEPARABLE), "Normal")
    if known in NOT_SEPARABLE:
        walk.ledger.note("pdf-blend-not-separable", mode=known)
    if known not in NORMAL:
        walk.translucent = walk.blended = True
    walk.state.blend = known


def _marked(walk: Walk, operands: Operands) -> None:
    """A passage that belongs to a layer is not painted where the layer is off."""
    is_hidden = False
    if len(operands) > 1 and operands[0] == Name.OC:
        layer = operands[1]
        found = walk.resources.get("/Properties", Dictionary()).get(str(layer)) if isinstance(layer, Name) else layer
        is_hidden = not walk.page.layers.shown(found)
    walk.marked.append(is_hidden)
    walk.hidden += is_hidden


def _marked_end(walk: Walk, _: Operands) -> None:
    if walk.marked:
        walk.hidden -= walk.marked.pop()


def line_widths(walk: Walk) -> float:
    """How wide lines are drawn, in dots."""
    return walk.state.line_width * walk.state.scale / walk.page.dot


HANDLERS: dict[str, Handler] = {
    "q": _save,
    "Q": _restore,
    "cm": _matrix,
    "w": _line_width,
    "gs": _graphics_state,
    "BMC": _marked,
    "BDC": _marked,
    "EMC": _marked_end,
    **dict.fromkeys(("MP", "DP", "BX", "EX", "ri", "i"), _nothing),
    **{each: _every_ink(each) for each in ("J", "j", "M", "d", "d0", "d1")},
}
