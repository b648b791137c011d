"""The closed word lists of roller care. Each value is the word that is written down."""

from __future__ import annotations

from enum import Enum


class Grade(Enum):
    """What a cover looks like."""

    MATT = "matt"
    SEMI_SHINY = "semi-shiny"
    SHINY = "shiny"
    HAZED = "hazed"
    HAIRLINES = "hairlines"
    CRACKED = "cracked"
    CUT = "cut"
    PITTED = "pitted"
    DENT = "dent"
    SWOLLEN_END = "swollen end"

    @property
    def is_glazed(self) -> bool:
        return self in (Grade.SEMI_SHINY, Grade.SHINY)

    @property
    def is_broken(self) -> bool:
        """The face is no longer whole; no cleaning brings it back."""
        return self in (Grade.CRACKED, Grade.CUT, Grade.PITTED, Grade.DENT)


class EventKind(Enum):
    """What was done to a roller, or to the whole press it runs in."""

    MADE = "made"
    RECEIVED = "received"
    FITTED = "fitted"
    WASHED = "washed"
    WASH_CHANGED = "wash changed"
    DEGLAZED = "deglazed"
    DESCALED = "descaled"
    STRIPES_READ = "stripes read"
    HARDNESS_READ = "hardness read"
    RUN_OUT_READ = "run-out read"
    COVER_CHANGED = "cloth cover changed"
    METERS_CHECKED = "meters checked"
    BEARINGS_RENEWED = "bearings renewed"
    REGROUND = "reground"
    RECOVERED = "re-covered"
    RETIRED = "retired"

    @property
    def begins_a_cover(self) -> bool:
        return self in (EventKind.MADE, EventKind.RECEIVED, EventKind.RECOVERED)


class Measure(Enum):
    """What a limit is set on. Each is a size that is 0 or small on a good roller and grows as it goes wrong."""

    HARDNESS_RISE = "hardness rise"
    HARDNESS_FALL = "hardness fall"
    RUN_OUT = "run-out"
    SHRINK = "shrink"
    SWELL = "swell"
    END_TO_MIDDLE = "ends thicker than middle"
    TAPER = "taper"
    STRIPE_NARROW = "stripe too narrow"
    STRIPE_WIDE = "stripe too wide"
    STRIPE_UNEVEN = "stripe uneven"
    PLAY = "play"

    @property
    def unit(self) -> str:
        return "Shore A" if self in (Measure.HARDNESS_RISE, Measure.HARDNESS_FALL) else "mm"


class ArrivalTest(Enum):
    """What is compared with the drawing when a roller arrives."""

    HARDNESS = "hardness off"
    DIAMETER = "diameter off"
    RUN_OUT = "run-out"
    TAPER = "taper"
    FACE = "face length off"
    JOURNAL = "journal off"
    AGE = "age in store"

    @property
    def unit(self) -> str:
        return {ArrivalTest.HARDNESS: "Shore A", ArrivalTest.AGE: "months"}.get(self, "mm")


class Basis(Enum):
    """What a limit rests on, the strongest first."""

    MANUAL = "press manual"
    DRAWING = "roller drawing"
    SHOP = "shop experience"
    COMMON_PRACTICE = "common practice"
