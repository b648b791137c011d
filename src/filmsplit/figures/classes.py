"""How each class of thing is drawn: one table of line, hatch and sign, so that no class is told by colour alone.

The looks are this project's own. They are chosen to survive a grey photocopy: every pair within a table differs in
line, hatch or sign, and the words stand in the legend of the drawing that uses them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from filmsplit.figures.drawing import ACCENT, FAINT, INK
from filmsplit.press.makeup import MakeUp
from filmsplit.press.words import ContactKind, DriveKind, MotionKind, Role, System, TargetSource


class Hatch(Enum):
    """What fills a disc or the band at its rim."""

    NONE = "none"
    RISING = "rising"
    FALLING = "falling"
    CROSSED = "crossed"
    LEVEL = "level"
    BROKEN = "broken"
    UPRIGHT = "upright"
    SQUARED = "squared"
    DOTTED = "dotted"
    WAVES = "waves"
    CHEVRONS = "chevrons"
    TICKS = "ticks"
    BEADS = "beads"


class Sign(Enum):
    """A small picture beside the name of a roller or on a contact."""

    NONE = "none"
    TEETH = "teeth"
    LINKS = "links"
    MOTOR = "motor"
    WEIGHT = "weight"
    SPRING = "spring"
    TO_AND_FRO = "to and fro"
    SWING = "swing"
    FLAT = "flat"
    SHEARED = "sheared"
    OPEN = "open"
    APART = "apart"


class PathKind(Enum):
    """What runs along a path."""

    INK = "ink"
    WATER = "water"


class Extra(Enum):
    """What a contact can do besides its kind."""

    STAYS = "stays"
    THROWS_OFF = "throws off"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line: width on paper, dashes, and whether it is drawn double."""

    width_mm: float
    dashes_mm: tuple[float, ...] = ()
    double: bool = False

    @property
    def dasharray(self) -> str | None:
        return " ".join(f"{dash:g}" for dash in self.dashes_mm) or None


@dataclass(frozen=True, slots=True)
class Look:
    """How one class is drawn. ``words`` is the key of its label."""

    words: str
    stroke: Stroke | None = None
    hatch: Hatch = Hatch.NONE
    sign: Sign = Sign.NONE
    colour: str = INK

    @property
    def grey_signature(self) -> tuple[Stroke | None, Hatch, Sign]:
        """All that is left of the look on a grey photocopy, without the words."""
        return (self.stroke, self.hatch, self.sign)


OUTLINES: Mapping[System, Look] = {
    System.INK: Look("system.ink", Stroke(0.5)),
    System.DAMPENING: Look("system.dampening", Stroke(0.25, double=True)),
    System.SHARED: Look("system.shared", Stroke(0.5, (2.6, 0.8, 0.5, 0.8))),
}

FILLS: Mapping[Role, Look] = {
    Role.FOUNTAIN: Look("figure_role.fountain", hatch=Hatch.LEVEL, colour=FAINT),
    Role.DUCTOR: Look("figure_role.ductor", hatch=Hatch.BROKEN, colour=FAINT),
    Role.DRUM: Look("figure_role.drum", hatch=Hatch.UPRIGHT, colour=FAINT),
    Role.DISTRIBUTOR: Look("figure_role.distributor", hatch=Hatch.RISING, colour=FAINT),
    Role.RIDER: Look("figure_role.rider", hatch=Hatch.DOTTED, colour=FAINT),
    Role.FORM: Look("figure_role.form", hatch=Hatch.NONE, colour=FAINT),
    Role.BRIDGE: Look("figure_role.bridge", hatch=Hatch.SQUARED, colour=FAINT),
    Role.PAN: Look("figure_role.pan", hatch=Hatch.WAVES, colour=FAINT),
    Role.METERING: Look("figure_role.metering", hatch=Hatch.CHEVRONS, colour=FAINT),
    Role.TRANSFER: Look("figure_role.transfer", hatch=Hatch.FALLING, colour=FAINT),
}

BANDS: Mapping[MakeUp, Look] = {
    MakeUp.BARE_HARD: Look("figure.make-up-bare", hatch=Hatch.NONE),
    MakeUp.HARD_COVERED: Look("figure.make-up-hard", hatch=Hatch.TICKS),
    MakeUp.SOFT: Look("figure.make-up-soft", hatch=Hatch.RISING),
    MakeUp.CLOTH: Look("figure.make-up-cloth", hatch=Hatch.BEADS),
}

DRIVES: Mapping[DriveKind, Look] = {
    DriveKind.GEAR: Look("figure_drive.gear", sign=Sign.TEETH),
    DriveKind.CHAIN: Look("figure_drive.chain", sign=Sign.LINKS),
    DriveKind.MOTOR: Look("figure_drive.motor", sign=Sign.MOTOR),
    DriveKind.WEIGHT: Look("figure_drive.weight", sign=Sign.WEIGHT),
    DriveKind.SPRING: Look("figure_drive.spring", sign=Sign.SPRING),
}

MOTIONS: Mapping[MotionKind, Look] = {
    MotionKind.TURNS: Look("figure_motion.turns", sign=Sign.NONE),
    MotionKind.OSCILLATES: Look("figure_motion.oscillates", sign=Sign.TO_AND_FRO),
    MotionKind.DUCTS: Look("figure_motion.ducts", sign=Sign.SWING),
}

CONTACTS: Mapping[ContactKind, Look] = {
    ContactKind.ROLLS: Look("figure.contact-rolls", sign=Sign.FLAT),
    ContactKind.SLIPS: Look("figure.contact-slips", sign=Sign.SHEARED),
    ContactKind.TOUCHES: Look("figure.contact-touches", sign=Sign.OPEN),
}

EXTRAS: Mapping[Extra, Look] = {
    Extra.STAYS: Look("figure.contact-stays", sign=Sign.NONE),
    Extra.THROWS_OFF: Look("figure.contact-throws-off", sign=Sign.APART),
}

PATHS: Mapping[PathKind, Look] = {
    PathKind.INK: Look("figure.ink-path", Stroke(0.95), colour=ACCENT),
    PathKind.WATER: Look("figure.water-path", Stroke(0.6, (1.5, 1.1)), colour=INK),
}

SOURCE_MARKS: Mapping[TargetSource, str] = {
    TargetSource.MANUAL: "figure.source-manual",
    TargetSource.DRAWING: "figure.source-drawing",
    TargetSource.SHOP: "figure.source-shop",
    TargetSource.COMMON_PRACTICE: "figure.source-practice",
}
"""The letter behind a stripe target; its meaning has the same key with ``-words``."""

TABLES: Mapping[str, Mapping[Enum, Look]] = {
    "outline": OUTLINES,  # type: ignore[dict-item]
    "fill": FILLS,  # type: ignore[dict-item]
    "band": BANDS,  # type: ignore[dict-item]
    "drive": DRIVES,  # type: ignore[dict-item]
    "motion": MOTIONS,  # type: ignore[dict-item]
    "contact": CONTACTS,  # type: ignore[dict-item]
    "throw-off": EXTRAS,  # type: ignore[dict-item]
    "path": PATHS,  # type: ignore[dict-item]
}
"""Every table by the part of the picture it governs."""
