"""The closed word lists of the press description. Each value is the word written in a press file."""

from __future__ import annotations

from enum import Enum


class System(Enum):
    """Which liquid a roller carries."""

    INK = "ink"
    DAMPENING = "dampening"
    SHARED = "shared"


class Role(Enum):
    """What a roller is for in its system."""

    FOUNTAIN = "fountain"
    DUCTOR = "ductor"
    DRUM = "drum"
    DISTRIBUTOR = "distributor"
    RIDER = "rider"
    FORM = "form"
    BRIDGE = "bridge"
    PAN = "pan"
    METERING = "metering"
    TRANSFER = "transfer"


class Material(Enum):
    """What a cover, or the bare surface of a core, is made of."""

    STEEL = "steel"
    COPPER = "copper"
    CHROME = "chrome"
    NYLON = "nylon"
    EBONITE = "ebonite"
    CERAMIC = "ceramic"
    NITRILE = "nitrile rubber"
    PVC_NITRILE = "nitrile-PVC rubber"
    POLYURETHANE = "polyurethane"
    EPDM = "EPDM rubber"
    RUBBER = "rubber"
    CLOTH = "cloth sleeve"


HARD_MATERIALS = frozenset(
    {Material.STEEL, Material.COPPER, Material.CHROME, Material.NYLON, Material.EBONITE, Material.CERAMIC}
)


class DriveKind(Enum):
    """What turns a roller."""

    GEAR = "gear"
    CHAIN = "chain"
    MOTOR = "own motor"
    WEIGHT = "friction by weight"
    SPRING = "friction by spring"

    @property
    def is_friction(self) -> bool:
        return self in (DriveKind.WEIGHT, DriveKind.SPRING)


class MotionKind(Enum):
    """How a roller moves besides turning."""

    TURNS = "turns"
    OSCILLATES = "oscillates"
    DUCTS = "ducts"


class ContactKind(Enum):
    """How two surfaces meet."""

    ROLLS = "rolls"
    SLIPS = "slips"
    TOUCHES = "touches at times"


class SlipDirection(Enum):
    """Whether two slipping surfaces run the same way in the nip."""

    SAME = "same"
    OPPOSITE = "opposite"


class TurnSense(Enum):
    """Turn seen from the operator's side."""

    CLOCKWISE = "clockwise"
    ANTICLOCKWISE = "anticlockwise"

    @property
    def reversed(self) -> TurnSense:
        return TurnSense.CLOCKWISE if self is TurnSense.ANTICLOCKWISE else TurnSense.ANTICLOCKWISE


class TargetSource(Enum):
    """Where a stripe target comes from."""

    MANUAL = "press manual"
    DRAWING = "roller drawing"
    SHOP = "shop experience"
    COMMON_PRACTICE = "common practice"


class AdjusterKind(Enum):
    """What is turned to move one end of a roller."""

    SCREW = "screw"
    ECCENTRIC = "eccentric"
    LEVER = "lever"


class KeyKind(Enum):
    """How the keys of an ink fountain are read."""

    NUMBERED = "numbered"
    UNNUMBERED = "unnumbered"
    STEPPED = "stepped"


class BladeKind(Enum):
    """Whether the keys bend one fountain blade or move parts of it."""

    ONE_PIECE = "one piece"
    DIVIDED = "divided"


class SweepKind(Enum):
    """Whether the sweep can be set anywhere or only in whole notches."""

    CONTINUOUS = "continuous"
    NOTCHED = "notched"
