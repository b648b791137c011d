"""Streams within a stream: forms, soft masks, patterns and drawn letters, each written again for every ink."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import pikepdf
from pikepdf import Array, Dictionary, Name, Stream

from filmsplit.formats.pdf.content import is_too_long
from filmsplit.formats.pdf.malformed import UNREADABLE, Malformed
from filmsplit.formats.pdf.shadings import ink_shading
from filmsplit.formats.pdf.state import IDENTITY, Matrix, Paint, State, product

if TYPE_CHECKING:
    from filmsplit.formats.pdf.colour import Colours, Greys
    from filmsplit.formats.pdf.walk import Walk

MOST_NESTED = 24
"""Streams within streams that are followed (invented; pages seldom nest more than five deep)."""
FORM_KEPT = ("/BBox", "/Matrix", "/FormType")
PATTERN_KEPT = ("/PatternType", "/PaintType", "/TilingType", "/BBox", "/XStep", "/YStep", "/Matrix")
TILING, SHADED = 1, 2
COLOURED = 1
MOST_TILES_PER_DOT = 1000
"""Of a pattern (invented: nobody sees the tiles of one that is a hundred times coarser)."""


@dataclass(frozen=True, slots=True, eq=False)
class Rewritten:
    """One stream for each ink; ``None`` where nothing is painted with it. ``blended``: a blend mode was used in it.
    ``instructions`` are those it takes to draw it once, with all it draws in its turn."""

    streams: tuple[Stream | None, ...]
    key: object
    translucent: bool
    blended: bool
    instructions: int


def form(walk: Walk, thing: Stream) -> Rewritten | None:
    """A form as it is drawn in the state of ``walk``; ``None`` where it cannot be followed."""
    state = walk.state.copy()
    state.matrix = product(_matrix(thing), state.matrix)
    if is_group(thing):
        group = thing["/Group"]
        if group.get("/K", False):
            walk.ledger.note("pdf-group-knockout")
        state = state.grouped(isolated=bool(group.get("/I", False)))
    return _rewritten(walk, thing, _how(walk, state, kept=FORM_KEPT))


def is_group(thing: Stream) -> bool:
    """Whether a form is a transparency group."""
    group = thing.get("/Group")
    return isinstance(group, Dictionary) and group.get("/S") == Name.Transparency


@dataclass(frozen=True, slots=True, kw_only=True)
class _How:
    """How a stream is written again: from which state, with which entries kept, for which planes, and with which
    resources where it has none of its own."""

    state: State
    colours: Colours
    resources: Dictionary
    kept: tuple[str, ...] = ()

    @property
    def key(self) -> object:
        return (self.state.key, id(self.colours))


def _how(walk: Walk, state: State, *, kept: tuple[str, ...]) -> _How:
    return _How(state=state, colours=walk.colours, resources=walk.resources, kept=kept)


def _rewritten(walk: Walk, thing: Stream, how: _How) -> Rewritten | None:
    page = walk.page
    key = (thing.objgen, how.key)
    if key in page.made:
        found: Rewritten | None = page.made[key]  # type: ignore[assignment]
        page.counted(0 if found is None else found.instructions)
        return found
    if thing.objgen in page.open:
        walk.ledger.note("pdf-stream-in-itself")
        return None
    if len(page.open) >= MOST_NESTED:
        walk.ledger.note("pdf-nested-too-deep", most=MOST_NESTED)
        return None
    page.open.append(thing.objgen)
    try:
        made = page.made[key] = _written(walk, thing, how)
    finally:
        page.open.pop()
    return made


def _written(walk: Walk, thing: Stream, how: _How) -> Rewritten:
    own = thing.get("/Resources")
    resources = own if isinstance(own, Dictionary) else how.resources
    inner = walk.nested(how.state.copy(), resources, colours=how.colours)
    before = walk.page.instructions
    contents = inner.run(parsed(thing, walk))
    streams: list[Stream | None] = []
    for plane, content in enumerate(contents):
        if not inner.planes.painted[plane]:
            streams.append(None)
            continue
        made = walk.page.pdf.make_stream(content)
        for entry in ("/Type", "/Subtype", *how.kept):
            if entry in thing:
                made[entry] = thing[entry]
        if is_group(thing):
            made["/Group"] = Dictionary(
                S=Name.Transparency, CS=Name.DeviceGray, I=bool(thing["/Group"].get("/I", False))
            )
        made["/Resources"] = inner.named.resources(plane)
        streams.append(made)
    return Rewritten(tuple(streams), how.key, inner.translucent, inner.blended, walk.page.instructions - before)


def parsed(thing: Stream | pikepdf.Page, walk: Walk) -> list[object]:
    """The instructions of a stream; what cannot be read of them is noted and left out."""
    if is_too_long(thing):
        walk.page.endless()
    try:
        return list(pikepdf.parse_content_stream(thing))
    except UNREADABLE:
        walk.ledger.note("pdf-content-unreadable")
        return []


def _matrix(thing: pikepdf.Object) -> Matrix:
    told = thing.get("/Matrix")
    if not isinstance(told, Array) or len(told) < 6:
        return IDENTITY
    a, b, c, d, e, f = (float(each) for each in list(told)[:6])
    return (a, b, c, d, e, f)


# Soft masks -----------------------------------------------------------------------------------------------------------


def soft_mask(walk: Walk, told: pikepdf.Object) -> pikepdf.Object:
    """A soft mask with its group in grey, the same for every ink; ``/None`` where there is none."""
    if not isinstance(told, Dictionary) or "/G" not in told:
        return Name.None_
    key = ("mask", told.objgen if told.objgen != (0, 0) else told.unparse(), f"{walk.state.scale:.1e}")
    if key not in walk.page.made:
        walk.page.made[key] = _mask(walk, told)
    return walk.page.made[key]  # type: ignore[return-value]


def _mask(walk: Walk, told: Dictionary) -> pikepdf.Object:
    tone = walk.page.tone
    group = told["/G"]
    if not isinstance(group, Stream):
        raise Malformed("a soft mask without a group")
    state = initial(tone)
    state.matrix = product(_matrix(group), walk.state.matrix)
    made = _rewritten(walk, group, replace(_how(walk, state, kept=FORM_KEPT), colours=tone))
    drawn = None if made is None else made.streams[0]
    if drawn is None:  # nothing is painted in it
        drawn = _empty(walk, group)
    if "/Group" not in drawn:
        drawn["/Group"] = Dictionary(S=Name.Transparency, CS=Name.DeviceGray)
    mask = Dictionary(Type=Name.Mask, S=told.get("/S", Name.Luminosity), G=drawn)
    if "/TR" in told and told["/TR"] != Name.Identity:
        mask["/TR"] = told["/TR"]
    if "/BC" in told:
        mask["/BC"] = Array([_backdrop(walk, told["/BC"], group=group)])
    return walk.page.pdf.make_indirect(mask)


def _empty(walk: Walk, group: Stream) -> Stream:
    made = walk.page.pdf.make_stream(b"")
    made["/Type"], made["/Subtype"] = Name.XObject, Name.Form
    for entry in FORM_KEPT:
        if entry in group:
            made[entry] = group[entry]
    made["/Resources"] = Dictionary()
    return made


def _backdrop(walk: Walk, told: pikepdf.Object, *, group: Stream) -> float:
    """The tone of the colour behind a mask's group, in the group's own space."""
    described = group.get("/Group", Dictionary()).get("/CS", Name.DeviceGray)
    own = group.get("/Resources")
    space = walk.page.tone.space_of(described, own if isinstance(own, Dictionary) else walk.resources)
    values = np.array([[float(each) for each in told]], dtype=np.float64)
    return 1.0 - float(space.amounts(values)[0, 0])


def initial(colours: Colours) -> State:
    """The graphics state at the beginning of a page: black, opaque, Normal."""
    black = Paint(space=colours.space_of(Name.DeviceGray, Dictionary()), values=(0.0,))
    return State(fill=black, stroke=black)


# Patterns -------------------------------------------------------------------------------------------------------------


def pattern_inks(walk: Walk, paint: Paint) -> frozenset[int]:
    """The inks a pattern addresses, for overprinting: all of them where its own content decides."""
    pattern = _pattern(paint)
    if pattern.get("/PatternType") == SHADED:
        return _shading(walk, pattern).inks
    return paint.space.inks if paint.values else frozenset(range(walk.count))


def patterns(walk: Walk, paint: Paint) -> bytes:
    """The name of a pattern, with an object of its own for each ink."""
    pattern = _pattern(paint)
    key = ("pattern", pattern.objgen if pattern.objgen != (0, 0) else id(pattern))
    if pattern.get("/PatternType") == SHADED:
        return walk.named.own("/Pattern", _shaded(walk, pattern), key=key)
    if not isinstance(pattern, Stream):
        raise Malformed("a tiling pattern that is no stream")
    if pattern.get("/PaintType", COLOURED) != COLOURED:
        return walk.named.shared("/Pattern", pattern, key=key)
    state = initial(walk.colours)
    state.matrix = product(_matrix(pattern), IDENTITY)
    _not_dust(walk, pattern, scale=state.scale)
    made = _rewritten(walk, pattern, _how(walk, state, kept=PATTERN_KEPT))
    if made is None:
        raise Malformed("a pattern that cannot be followed")
    walk.translucent = walk.translucent or made.translucent
    things = [_empty_pattern(walk, pattern) if each is None else each for each in made.streams]
    return walk.named.own("/Pattern", things, key=key)


def _not_dust(walk: Walk, pattern: Stream, *, scale: float) -> None:
    """Raises ``Refusal`` where a pattern is so fine that laying its tiles would never end."""
    tile = scale**2 * abs(float(pattern.get("/XStep", 0)) * float(pattern.get("/YStep", 0)))
    if 0 < tile < walk.page.dot**2 / MOST_TILES_PER_DOT:
        walk.page.endless()


def _pattern(paint: Paint) -> pikepdf.Object:
    if not isinstance(paint.pattern, Dictionary | Stream):
        raise Malformed("a pattern that is no dictionary")
    return paint.pattern


def _shading(walk: Walk, pattern: pikepdf.Object) -> Greys:
    made: Greys = ink_shading(pattern["/Shading"], walk.colours, walk.resources)
    return made


def _shaded(walk: Walk, pattern: pikepdf.Object) -> list[pikepdf.Object]:
    made = _shading(walk, pattern)
    things: list[pikepdf.Object] = []
    for plane in range(walk.count):
        thing = Dictionary(Type=Name.Pattern, PatternType=SHADED, Shading=made.grey(plane) or made.white())
        if "/Matrix" in pattern:
            thing["/Matrix"] = pattern["/Matrix"]
        things.append(walk.page.pdf.make_indirect(thing))
    return things


def _empty_pattern(walk: Walk, pattern: Stream) -> Stream:
    made = walk.page.pdf.make_stream(b"")
    for entry in ("/Type", *PATTERN_KEPT):
        if entry in pattern:
            made[entry] = pattern[entry]
    made["/Resources"] = Dictionary()
    return made


# Drawn letters --------------------------------------------------------------------------------------------------------


def coloured_glyphs(walk: Walk) -> bytes | None:
    """The operation that chooses a Type 3 font whose letters have colours, rewritten for each ink; ``None`` where the
    font in force will do."""
    font = walk.state.font
    if font is None or font.get("/Subtype") != Name.Type3 or not _has_colours(walk, font):
        return None
    state = walk.state.copy()
    told = font.get("/FontMatrix")
    scaled = product(tuple(float(each) for each in told) if told is not None else IDENTITY, state.matrix)  # type: ignore[arg-type]
    state.matrix = scaled
    how = _how(walk, state, kept=())
    own = font.get("/Resources")
    if isinstance(own, Dictionary):
        how = replace(how, resources=own)
    drawn = font.get("/CharProcs", Dictionary()).items()
    procs = {name: _rewritten(walk, proc, how) for name, proc in drawn if isinstance(proc, Stream)}
    fonts = [_font(walk, font, plane=plane, procs=procs) for plane in range(walk.count)]
    name = walk.named.own("/Font", fonts, key=("font", font.objgen, state.key))
    return name + b" %.6f Tf" % walk.state.font_size


def _font(walk: Walk, font: pikepdf.Object, *, plane: int, procs: dict[str, Rewritten | None]) -> pikepdf.Object:
    made = Dictionary({key: value for key, value in font.items() if key not in ("/CharProcs", "/Resources")})
    letters = Dictionary()
    for name, proc in procs.items():
        stream = None if proc is None else proc.streams[plane]
        letters[name] = walk.page.pdf.make_stream(b"0 0 d0\n") if stream is None else stream
    made["/CharProcs"] = letters
    return walk.page.pdf.make_indirect(made)


def _has_colours(walk: Walk, font: pikepdf.Object) -> bool:
    """Whether any letter begins with d0: it then has colours of its own (ISO 32000-2, 9.6.4)."""
    key = ("coloured", font.objgen)
    if key not in walk.page.made:
        procs = font.get("/CharProcs", Dictionary())
        walk.page.made[key] = any(_begins_coloured(walk, proc) for proc in procs.values())
    return bool(walk.page.made[key])


def _begins_coloured(walk: Walk, proc: pikepdf.Object) -> bool:
    first = parsed(proc, walk)[:1] if isinstance(proc, Stream) else []
    return any(str(operator) == "d0" for _, operator in walk.read(first))
