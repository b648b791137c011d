"""What is written about a member: rows of words and signs, inside its circle where they fit, beside it where not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from filmsplit.figures.boxes import Box, Disc
from filmsplit.figures.classes import DRIVES, FILLS, MOTIONS, Sign
from filmsplit.figures.drawing import element, group, text
from filmsplit.figures.lettering import ASCENT, DESCENT, LINE_STEP, text_width_mm, wrapped
from filmsplit.figures.signs import SIGN_MM, sign, sign_width_mm
from filmsplit.figures.stage import Body, Stage
from filmsplit.messages import label
from filmsplit.press import Cylinder, Roller
from filmsplit.press.words import DriveKind, MotionKind

ID_MM, SMALL_ID_MM, WORD_MM, SMALL_MM = 3.0, 2.3, 2.25, 2.0
_NAME_WIDTH_MM = 27.0
_SIGN_GAP_MM = 1.2


class Tells(Enum):
    """What the drawing tells besides names and numbers."""

    EVERYTHING = "everything"
    PURPOSE = "purpose"
    MAKE_UP = "make-up"
    MOTION = "motion"
    DRIVE = "drive"

    @property
    def shows_bands(self) -> bool:
        return self in (Tells.EVERYTHING, Tells.MAKE_UP)

    @property
    def shows_drive(self) -> bool:
        return self in (Tells.EVERYTHING, Tells.DRIVE)

    @property
    def shows_motion(self) -> bool:
        return self in (Tells.EVERYTHING, Tells.MOTION)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a label: words, or a few signs."""

    words: str = ""
    size: float = WORD_MM
    bold: bool = False
    signs: tuple[Sign, ...] = ()
    lead: str = ""
    """Bold words before the others: the id, on a label that stands away from its roller."""

    @property
    def lead_width(self) -> float:
        return text_width_mm(self.lead, self.size, bold=True) + 0.4 * self.size if self.lead else 0.0

    @property
    def width(self) -> float:
        if self.signs:
            return sum(map(sign_width_mm, self.signs)) + _SIGN_GAP_MM * (len(self.signs) - 1)
        return self.lead_width + text_width_mm(self.words, self.size, bold=self.bold)

    @property
    def height(self) -> float:
        return SIGN_MM + 0.6 if self.signs else self.size * LINE_STEP


Rows = tuple[Row, ...]


def size_of(rows: Sequence[Row]) -> tuple[float, float]:
    """Width and height of a block of rows."""
    return max(row.width for row in rows), sum(row.height for row in rows)


def row_boxes(rows: Sequence[Row], box: Box, *, align: str) -> list[Box]:
    """The box of every row in the box of the block; ``align`` is start, middle or end."""
    boxes, top = [], box.top
    for row in rows:
        free = (box.right - box.left) - row.width
        left = box.left + {"start": 0.0, "middle": free / 2, "end": free}[align]
        boxes.append(Box(left, top, left + row.width, top + row.height))
        top += row.height
    return boxes


def draw_rows(rows: Sequence[Row], box: Box, *, align: str) -> list[str]:
    """The rows as text and signs. White round the letters keeps them legible over hatching."""
    parts = []
    for row, at in zip(rows, row_boxes(rows, box, align=align), strict=True):
        if row.signs:
            parts += _draw_signs(row, at)
        else:
            parts += _words(row, at)
    return [group(parts, stroke="#ffffff", stroke_width=0.7, paint_order="stroke")]


def _words(row: Row, at: Box) -> list[str]:
    base = at.top + (row.height - row.size * (ASCENT + DESCENT)) / 2 + row.size * ASCENT
    lead = [text(row.lead, (at.left, base), size=row.size, bold=True)] if row.lead else []
    return [*lead, text(row.words, (at.left + row.lead_width, base), size=row.size, bold=row.bold)]


def _draw_signs(row: Row, at: Box) -> list[str]:
    parts, left = [], at.left
    for kind in row.signs:
        width = sign_width_mm(kind)
        ground = {"x": float(left - 0.3), "y": float(at.top), "width": float(width + 0.6), "height": float(row.height)}
        parts.append(element("rect", fill="#ffffff", stroke="none", rx=0.8, **ground))
        parts.append(sign(kind, left + width / 2, (at.top + at.bottom) / 2))
        left += width + _SIGN_GAP_MM
    return parts


def led(rows: Rows, lead: str) -> Rows:
    """The rows with ``lead`` before the first words, unless these are the id already."""
    first = rows[0]
    if first.bold or not first.words:
        return (Row(lead, WORD_MM, bold=True), *rows) if not first.bold else rows
    return (replace(first, lead=lead), *rows[1:])


def narrower(rows: Rows, lead: str) -> Rows:
    """The rows with the id on its own and names broken to half the width."""
    named = () if rows[0].bold else (Row(lead, WORD_MM, bold=True),)
    names = " ".join(row.words for row in rows if row.words and row.size == WORD_MM and not row.bold)
    rest = tuple(row for row in rows if row.bold or not row.words or row.size != WORD_MM)
    return (*named, *(Row(part) for part in wrapped(names, _NAME_WIDTH_MM / 2, WORD_MM)), *rest)


def label_choices(stage: Stage, body: Body, tells: Tells) -> list[tuple[Rows, Rows]]:
    """What may stand inside and what outside, the best first; the last has everything outside."""
    if not isinstance(body.member, Roller):
        return _cylinder_choices(stage, body)
    roller = body.member
    head = (Row(roller.id, ID_MM, bold=True),)
    name = () if roller.name in ("", roller.id) else _name_rows(roller.name)
    facts = _facts(stage, body)
    extra = _extra(body, tells)
    return [
        ((*head, *name, *facts, *extra), ()),
        ((*head, *facts, *extra), name),
        ((*head, *facts), (*name, *extra)),
        ((*head, *extra), (*name, *facts)),
        (head, (*name, *facts, *extra)),
        ((Row(roller.id, SMALL_ID_MM, bold=True),), (*name, *facts, *extra)),
        ((), (*head, *name, *facts, *extra)),
    ]


def _name_rows(name: str) -> Rows:
    return tuple(Row(part) for part in wrapped(name, _NAME_WIDTH_MM, WORD_MM))


def _facts(stage: Stage, body: Body) -> Rows:
    """Diameter and hardness, each with the mark of an assumed value where it is one."""
    roller = body.member
    assumed = stage.is_assumed(body, "diameter_mm")
    rows = [Row(_measure("figure.diameter", roller.diameter_mm, assumed=assumed), SMALL_MM)]
    if isinstance(roller, Roller) and roller.cover is not None and roller.is_soft:
        assumed = stage.is_assumed(body, "cover", "hardness_shore_a")
        rows.append(Row(_measure("figure.hardness", roller.cover.hardness_shore_a, assumed=assumed), SMALL_MM))
    return tuple(rows)


def _measure(key: str, value: float, *, assumed: bool) -> str:
    mark = label("figure.assumed-mark") if assumed else ""
    return label(key, value=f"{mark}{value:.4g}")


def _extra(body: Body, tells: Tells) -> Rows:
    """What this drawing tells in particular."""
    roller = body.member
    if not isinstance(roller, Roller):
        return ()
    if tells is Tells.PURPOSE:
        role = label(FILLS[roller.role].words)
        return () if role in roller.name else (Row(role, SMALL_MM),)
    if tells is Tells.MAKE_UP:
        return (Row(label(f"material.{roller.surface_material.name.lower()}"), SMALL_MM),)
    rows: list[Row] = []
    if tells is Tells.DRIVE:
        rows.append(Row(_drive_words(roller), SMALL_MM))
    if tells is Tells.MOTION:
        rows.append(Row(_motion_words(roller), SMALL_MM))
    told = [DRIVES[roller.drive.kind].sign] if tells.shows_drive else []
    told += [MOTIONS[roller.motion.kind].sign] if tells.shows_motion else []
    signs = tuple(kind for kind in told if kind is not Sign.NONE)
    return (*rows, Row(signs=signs)) if signs else tuple(rows)


def _drive_words(roller: Roller) -> str:
    words = label(DRIVES[roller.drive.kind].words)
    if roller.drive.kind is DriveKind.GEAR and roller.drive.teeth is not None:
        return label("figure.teeth", words=words, teeth=roller.drive.teeth)
    return words


def _motion_words(roller: Roller) -> str:
    words = label(MOTIONS[roller.motion.kind].words)
    if roller.motion.kind is MotionKind.OSCILLATES:
        return label("figure.stroke", words=words, stroke=f"{roller.motion.stroke_mm:g}")
    return words


def _cylinder_choices(stage: Stage, body: Body) -> list[tuple[Rows, Rows]]:
    head = (Row(label(f"figure.{body.id}"), ID_MM, bold=True),)
    rows = [Row(label("figure.diameter", value=f"{body.member.diameter_mm:.4g}"), SMALL_MM)]
    if isinstance(body.member, Cylinder):
        words = label("figure.dressed", cover=f"{body.member.cover_mm:g}", packing=f"{body.member.packing_mm:g}")
        assumed = stage.press.is_assumed("units", stage.unit.id, "cylinders", body.id, "gap_mm")
        mark = label("figure.assumed-mark") if assumed else ""
        rows += [Row(words, SMALL_MM), Row(label("figure.gap", value=f"{mark}{body.member.gap_mm:.4g}"), SMALL_MM)]
        return [((*head, *rows), ()), (head, tuple(rows)), ((), (*head, *rows))]
    return [((), (*head, *rows))]


def fits_inside(rows: Rows, disc: Disc, *, band: float, arrow: float) -> Box | None:
    """Where the block stands in its circle, clear of the band at the rim and of the turn arrow at the top."""
    width, height = size_of(rows)
    for drop in (0.0, 0.5, 1.0, 1.5, 2.2, 3.0):
        top = disc.y - height / 2 + drop
        box = Box(disc.x - width / 2, top, disc.x + width / 2, top + height)
        if all(_row_fits(row, disc, band=band, arrow=arrow) for row in row_boxes(rows, box, align="middle")):
            return box
    return None


def _row_fits(row: Box, disc: Disc, *, band: float, arrow: float) -> bool:
    """Judged by the letters, without the air above and below them."""
    air = 0.16 * (row.bottom - row.top)
    row = row._replace(top=row.top + air, bottom=row.bottom - air)
    rim = Disc(disc.x, disc.y, disc.r - band - 0.4)
    below_arrow = Disc(disc.x, disc.y, disc.r - arrow - 0.5)
    upper = Box(row.left, row.top, row.right, max(row.top, min(row.bottom, disc.y)))
    return rim.holds(row) and (row.top >= disc.y or below_arrow.holds(upper))
