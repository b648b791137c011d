"""Which inks a painting operation touches, and with what grey (ISO 32000-2, 11.7.4: overprinting)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from pikepdf import Dictionary, Name

from filmsplit.formats.pdf.inks import PROCESS
from filmsplit.formats.pdf.named import Named
from filmsplit.formats.pdf.planes import NOTHING, Slot
from filmsplit.formats.pdf.state import Paint, State

NORMAL = frozenset({"Normal", "Compatible"})
SEPARABLE = (
    "Normal",
    "Compatible",
    "Multiply",
    "Screen",
    "Overlay",
    "Darken",
    "Lighten",
    "ColorDodge",
    "ColorBurn",
    "HardLight",
    "SoftLight",
    "Difference",
    "Exclusion",
)
"""Blend modes that blend each ink by itself (ISO 32000-2, table 134)."""
NOT_SEPARABLE = ("Hue", "Saturation", "Color", "Luminosity")
NOT_WHITE_PRESERVING = frozenset({"Difference", "Exclusion"})
"""Spot inks take Normal instead of these (11.7.4.2)."""

WHITE = 1.0


@dataclass(frozen=True, slots=True)
class Touch:
    """What one ink gets: a grey, or (``grey`` is ``None``) the pattern of the paint. ``beneath``: it lies beneath what
    the group already holds, which is how an ink that is not painted looks in a group with a backdrop of its own."""

    grey: float | None
    beneath: bool = False


def touches(paint: Paint, state: State, *, over: bool, count: int) -> tuple[Touch | None, ...]:
    """By ink what a paint does; ``None`` where the ink is left as it is."""
    amounts = _amounts(paint, count)
    left = tuple(over and _is_left(paint, state, plane=plane, amounts=amounts) for plane in range(count))
    return tuple(
        _left_out(state) if is_left else Touch(None if amounts is None else float(WHITE - amounts[plane]))
        for plane, is_left in enumerate(left)
    )


def untouched(state: State, *, over: bool, inks: frozenset[int], count: int) -> tuple[Touch | None, ...]:
    """By ink what a picture or a shading of these inks does, which has greys of its own (``Touch(None)``)."""
    return tuple(_left_out(state) if over and plane not in inks else Touch(None) for plane in range(count))


def _amounts(paint: Paint, count: int) -> Sequence[float] | None:
    """Ink amounts; ``None`` for a pattern with colours of its own."""
    if paint.pattern is not None and not paint.values:
        return None
    amounts = paint.space.amounts(np.array([paint.values], dtype=np.float64))[0]
    assert amounts.size == count
    return [float(each) for each in amounts]


def _is_left(paint: Paint, state: State, *, plane: int, amounts: Sequence[float] | None) -> bool:
    """Whether an overprinting paint leaves an ink: one it does not address, or (mode 1) none of a process ink."""
    if amounts is None:
        return False
    if plane not in paint.space.inks:
        return True
    return state.overprint_mode == 1 and paint.space.is_device_cmyk and amounts[plane] == 0.0


def _left_out(state: State) -> Touch | None:
    """Nothing; in an isolated group white beneath it, as the group's own shape hides what lies below."""
    return Touch(WHITE, beneath=True) if state.isolated and state.blend in NORMAL else None


def blend_of(state: State, plane: int, *, beneath: bool = False) -> str:
    """The blend mode for one plane. White multiplied changes nothing that is there, and is white where nothing is."""
    if beneath:
        return "Multiply"
    if state.blend in NOT_WHITE_PRESERVING and plane >= len(PROCESS):
        return "Normal"
    return state.blend if state.blend in SEPARABLE else "Normal"


def grey_token(grey: float, *, stroke: bool) -> bytes:
    """The operation that sets a grey."""
    return b"%.4f %s" % (grey, b"G" if stroke else b"g")


def tokens(**by_slot: bytes | None) -> tuple[bytes | None, ...]:
    """Tokens by the lower-case names of their slots."""
    made: list[bytes | None] = list(NOTHING)
    for name, token in by_slot.items():
        made[Slot[name.upper()]] = token
    return tuple(made)


def blend_token(named: Named, blend: str) -> bytes:
    """The operation that sets a blend mode."""
    name = "Normal" if blend == "Compatible" else blend
    return named.shared("/ExtGState", Dictionary(BM=Name("/" + name)), key=("blend", name)) + b" gs"


def alpha_token(named: Named, alpha: float) -> bytes:
    """The operation that sets how opaque lines are."""
    told = round(alpha, 4)
    return named.shared("/ExtGState", Dictionary(CA=told), key=("alpha", told)) + b" gs"
