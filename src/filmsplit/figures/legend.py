"""The legend: one entry for every look a drawing uses, in the words of the catalogue."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from filmsplit.figures.boxes import Box, Disc
from filmsplit.figures.classes import (
    BANDS,
    CONTACTS,
    DRIVES,
    EXTRAS,
    FILLS,
    MOTIONS,
    OUTLINES,
    PATHS,
    SOURCE_MARKS,
    Extra,
    Hatch,
    Look,
    PathKind,
)
from filmsplit.figures.drawing import INK, circle, line, text
from filmsplit.figures.lettering import text_width_mm
from filmsplit.figures.lines import Tells
from filmsplit.figures.members import draw_band, draw_outline
from filmsplit.figures.signs import arrow_head, contact_sign, pattern_id, sign
from filmsplit.figures.stage import Stage
from filmsplit.messages import label
from filmsplit.press import Roller
from filmsplit.press.makeup import make_up_of
from filmsplit.press.words import ContactKind, DriveKind, MotionKind, Role, System, TargetSource

ROW_MM = 5.4
_PICTURE_MM = 8.0
_WORDS_MM = 2.1
_GAP_MM = 4.0


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the legend: a picture drawn about a point, and words."""

    words: str
    draw: Callable[[float, float], list[str]]

    @property
    def width(self) -> float:
        return _PICTURE_MM + text_width_mm(self.words, _WORDS_MM) + _GAP_MM


def entries_of(
    stages: Iterable[Stage], tells: Tells, *, contacts: bool, paths: Iterable[PathKind], assumed: bool
) -> list[Entry]:
    """What the drawing uses, in the order of the tables."""
    rollers, nips = _contents(stages)
    entries = [_outline(system) for system in System if any(roller.system is system for roller in rollers)]
    entries += _roller_entries(rollers, tells)
    entries += [_path(kind) for kind in paths]
    if contacts:
        entries += _contact_entries(nips)
    if assumed:
        words = label("figure.assumed-words")
        entries.append(_letter(label("figure.assumed-mark"), words))
    return entries


def _contents(stages: Iterable[Stage]) -> tuple[list[Roller], list[tuple[ContactKind, bool, TargetSource | None]]]:
    rollers, nips = [], []
    for stage in stages:
        rollers += [body.member for body in stage.rollers if isinstance(body.member, Roller)]
        for nip in stage.nips:
            contact = nip.joint.contact
            source = contact.stripe.source if contact is not None and contact.stripe is not None else None
            if contact is not None:
                nips.append((nip.joint.kind, contact.throws_off, source))
    return rollers, nips


def _roller_entries(rollers: list[Roller], tells: Tells) -> list[Entry]:
    entries: list[Entry] = []
    if tells is Tells.PURPOSE:
        entries += [_fill(FILLS[role]) for role in Role if any(roller.role is role for roller in rollers)]
    if tells.shows_bands:
        used = {make_up_of(roller) for roller in rollers}
        entries += [_band(look) for kind, look in BANDS.items() if kind in used]
    if tells.shows_drive:
        kinds = {roller.drive.kind for roller in rollers}
        entries += [_sign(DRIVES[kind]) for kind in DriveKind if kind in kinds]
    if tells.shows_motion:
        moves = {roller.motion.kind for roller in rollers} - {MotionKind.TURNS}
        entries += [_sign(MOTIONS[kind]) for kind in MotionKind if kind in moves]
    if any(roller.motion.kind is MotionKind.DUCTS for roller in rollers):
        entries.append(
            Entry(
                label("figure.ghost"),
                lambda x, y: [circle(x, y, 1.7, stroke=INK, stroke_dasharray="1 0.8", stroke_width=0.3)],
            )
        )
    return entries


def _contact_entries(nips: list[tuple[ContactKind, bool, TargetSource | None]]) -> list[Entry]:
    entries = [_contact(CONTACTS[kind]) for kind in ContactKind if any(nip[0] is kind for nip in nips)]
    if any(nip[1] for nip in nips):
        entries.append(_contact(EXTRAS[Extra.THROWS_OFF], turned=True))
    used = [source for source in TargetSource if any(nip[2] is source for nip in nips)]
    for source in used:
        mark = label(SOURCE_MARKS[source])
        entries.append(_letter(f"3.5 {mark}", label(f"{SOURCE_MARKS[source]}-words")))
    return entries


def _outline(system: System) -> Entry:
    words = label("figure.outline-words", system=label(OUTLINES[system].words))
    return Entry(words, lambda x, y: draw_outline(Disc(x, y, 2.1), system))


def _fill(look: Look) -> Entry:
    def draw(x: float, y: float) -> list[str]:
        ground = circle(x, y, 2.1, stroke=INK, stroke_width=0.2)
        if look.hatch is Hatch.NONE:
            return [ground]
        return [circle(x, y, 2.1, fill=f"url(#{pattern_id(look.hatch)})"), ground]

    return Entry(label(look.words), draw)


def _band(look: Look) -> Entry:
    return Entry(
        label(look.words),
        lambda x, y: [*draw_band(Disc(x, y, 2.3), look.hatch), circle(x, y, 2.3, stroke=INK, stroke_width=0.3)],
    )


def _sign(look: Look) -> Entry:
    return Entry(label(look.words), lambda x, y: [sign(look.sign, x, y)])


def _contact(look: Look, *, turned: bool = False) -> Entry:
    return Entry(label(look.words), lambda x, y: [contact_sign(look.sign, (x, y), 0.0 if turned else 90.0)])


def _letter(letter: str, words: str) -> Entry:
    return Entry(words, lambda x, y: [text(letter, (x, y + 0.7), size=_WORDS_MM, bold=True, anchor="middle")])


def _path(kind: PathKind) -> Entry:
    look = PATHS[kind]

    def draw(x: float, y: float) -> list[str]:
        if look.stroke is None:
            return []
        way = line(
            [(x - 3.2, y), (x + 3.0, y)],
            stroke=look.colour,
            stroke_width=look.stroke.width_mm,
            stroke_dasharray=look.stroke.dasharray,
            stroke_linecap="butt",
        )
        return [way, arrow_head((x + 1.3, y), 0.0, size=2.4, colour=look.colour)]

    return Entry(label(look.words), draw)


def columns_for(entries: list[Entry], width_mm: float) -> int:
    """How many columns of equal width the entries may stand in."""
    widest = max((entry.width for entry in entries), default=width_mm)
    return max(1, int(width_mm // widest))


def height_for(entries: list[Entry], columns: int) -> float:
    """Room the legend takes."""
    return -(-len(entries) // columns) * ROW_MM


def draw_legend(entries: list[Entry], box: Box, columns: int) -> list[str]:
    """The entries column by column."""
    if not entries:
        return []
    per_column = -(-len(entries) // columns)
    step = (box.right - box.left) / columns
    parts = []
    for i, entry in enumerate(entries):
        x = box.left + step * (i // per_column)
        y = box.top + ROW_MM * (i % per_column + 0.5)
        parts += entry.draw(x + _PICTURE_MM / 2 - 0.8, y)
        parts.append(text(entry.words, (x + _PICTURE_MM, y + _WORDS_MM * 0.36), size=_WORDS_MM))
    rule = line([(box.left, box.top - 1.5), (box.right, box.top - 1.5)], stroke=INK, stroke_width=0.2)
    return [rule, *parts]
