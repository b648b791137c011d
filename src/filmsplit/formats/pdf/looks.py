"""The look of the current colours for each ink, ready to write."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from filmsplit.formats.pdf.named import GREY_PATTERN
from filmsplit.formats.pdf.paints import NORMAL, Touch, blend_of, blend_token, grey_token, touches, untouched
from filmsplit.formats.pdf.rewrite import pattern_inks, patterns
from filmsplit.formats.pdf.state import Paint

if TYPE_CHECKING:
    from filmsplit.formats.pdf.walk import Walk


@dataclass(frozen=True, slots=True)
class Look:
    """Operations that set a colour and a blend mode."""

    token: bytes
    blend: bytes


Looks = tuple[Look | None, ...]


def fill_looks(walk: Walk) -> Looks:
    """By ink how areas are painted; ``None`` where the ink is left as it is."""
    return _looks(walk, walk.state.fill, stroke=False)


def stroke_looks(walk: Walk) -> Looks:
    """By ink how lines are painted."""
    return _looks(walk, walk.state.stroke, stroke=True)


def _looks(walk: Walk, paint: Paint, *, stroke: bool) -> Looks:
    state = walk.state
    over = state.stroke_over if stroke else state.fill_over
    _noted(walk, over=over)
    key = (paint.key, stroke, over, state.overprint_mode, state.blend, state.isolated)
    found = walk.looks.get(key)
    if found is None:
        found = walk.looks[key] = tuple(_look(walk, paint, stroke=stroke, over=over))
    return cast(Looks, found)


def _noted(walk: Walk, *, over: bool) -> None:
    """What decides whether a page is drawn truly, and is only known now."""
    state = walk.state
    if over and state.blend not in NORMAL:
        walk.ledger.note("pdf-overprint-blended")
    if min(state.fill_alpha, state.stroke_alpha) < 1.0 or state.masked or state.blend not in NORMAL:
        walk.translucent = True


def _look(walk: Walk, paint: Paint, *, stroke: bool, over: bool) -> list[Look | None]:
    state, count = walk.state, walk.count
    if paint.pattern is None:
        touched = touches(paint, state, over=over, count=count)
        return [
            None if each is None else _made(walk, each, plane=plane, token=_grey(each, stroke=stroke))
            for plane, each in enumerate(touched)
        ]
    inks = pattern_inks(walk, paint)
    touched = untouched(state, over=over, inks=inks, count=count)
    name = patterns(walk, paint)
    greys = touches(paint, state, over=False, count=count)
    return [
        None
        if each is None
        else _made(walk, each, plane=plane, token=_pattern(each, name=name, colour=greys[plane], stroke=stroke))
        for plane, each in enumerate(touched)
    ]


def _made(walk: Walk, touch: Touch, *, plane: int, token: bytes) -> Look:
    blend = blend_of(walk.state, plane, beneath=touch.beneath)
    return Look(token, blend_token(walk.named, blend))


def _grey(touch: Touch, *, stroke: bool) -> bytes:
    assert touch.grey is not None
    return grey_token(touch.grey, stroke=stroke)


def _pattern(touch: Touch, *, name: bytes, colour: Touch | None, stroke: bool) -> bytes:
    """A pattern, with its grey where it has no colours of its own."""
    if touch.beneath:
        return grey_token(1.0, stroke=stroke)
    space, use = (b"CS", b"SCN") if stroke else (b"cs", b"scn")
    if colour is None or colour.grey is None:
        return b"/Pattern %s %s %s" % (space, name, use)
    return b"%s %s %.4f %s %s" % (GREY_PATTERN.encode(), space, colour.grey, name, use)


@dataclass(frozen=True, slots=True)
class ObjectLook:
    """How a picture or a shading is put down: by which blend mode, and whether as white beneath."""

    blend: bytes
    beneath: bool


def object_looks(walk: Walk, inks: frozenset[int]) -> tuple[ObjectLook | None, ...]:
    """By ink how a picture or a shading of these inks is put down; ``None`` where it is left out."""
    state = walk.state
    _noted(walk, over=state.fill_over)
    touched = untouched(state, over=state.fill_over, inks=inks, count=walk.count)
    return tuple(
        None
        if each is None
        else ObjectLook(blend_token(walk.named, blend_of(state, plane, beneath=each.beneath)), each.beneath)
        for plane, each in enumerate(touched)
    )
