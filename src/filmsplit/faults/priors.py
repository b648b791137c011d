"""What is believed before a mark is measured: one table, each row with where its weight comes from.

Nobody has published counts of which part marks a sheet. The weights are relative, per suspect, and mild: the
distances decide. Change a row here and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class SuspectKind(Enum):
    """What sort of part, or of movement, a suspect is."""

    FORM_ROLLER = "form_roller"
    ROLLER = "roller"
    DUCTOR_ROLLER = "ductor_roller"
    PLATE = "plate"
    BLANKET = "blanket"
    IMPRESSION = "impression"
    GAP = "gap"
    GEARS = "gears"
    DUCTOR_CYCLE = "ductor_cycle"
    OSCILLATOR_CYCLE = "oscillator_cycle"


class Rule(Enum):
    """How a suspect comes to make marks at a distance."""

    ONE_TURN = "one_turn"
    FOLDED = "folded"
    SEVERAL_TURNS = "several_turns"
    TOOTH_PITCH = "tooth_pitch"
    PLATE_TURN = "plate_turn"
    CYCLE = "cycle"
    HALF_CYCLE = "half_cycle"


@dataclass(frozen=True, slots=True)
class Belief:
    """A relative weight and its source."""

    weight: float
    source: str


KINDS: dict[SuspectKind, Belief] = {
    SuspectKind.FORM_ROLLER: Belief(1.5, "common practice: nearest the plate, its marks are smoothed least"),
    SuspectKind.ROLLER: Belief(1.0, "the measure the others are told in"),
    SuspectKind.DUCTOR_ROLLER: Belief(0.2, "invented: runs with the train only while it dwells there"),
    SuspectKind.PLATE: Belief(0.4, "invented: the once-a-plate-turn suspects together weigh a little over one roller"),
    SuspectKind.BLANKET: Belief(0.4, "invented: as the plate"),
    SuspectKind.IMPRESSION: Belief(0.4, "invented: as the plate"),
    SuspectKind.GAP: Belief(0.2, "invented: as the plate, but known at sight by its place near the lead edge"),
    SuspectKind.GEARS: Belief(1.0, "invented: as one roller, for all gears that mesh together"),
    SuspectKind.DUCTOR_CYCLE: Belief(1.0, "invented: as one roller"),
    SuspectKind.OSCILLATOR_CYCLE: Belief(1.0, "invented: as one roller, for all oscillators of one cycle"),
}

RULES: dict[Rule, Belief] = {
    Rule.ONE_TURN: Belief(0.89, "common practice: a spot on a roller marks every turn"),
    Rule.FOLDED: Belief(0.05, "invented: a trace of the sheet before, kept by plate and blanket, is seldom measured"),
    Rule.TOOTH_PITCH: Belief(1.0, "geometry: gears have one rule"),
    Rule.PLATE_TURN: Belief(1.0, "geometry: cylinders have one rule"),
    Rule.CYCLE: Belief(0.7, "invented: at one place across, a movement to and fro shows once a cycle"),
    Rule.HALF_CYCLE: Belief(0.3, "invented: in the middle of the stroke it shows both ways"),
}
"""Of one suspect's weight, how much falls to each rule. Several turns has a table of its own."""

SEVERAL_TURNS: dict[int, Belief] = {
    2: Belief(0.045, "invented: every second turn only is rare"),
    3: Belief(0.015, "invented: every third turn only is rarer"),
}

UNLISTED_REPEAT = Belief(0.05, "invented: some part that is not described, any repeat")
UNLISTED_SCATTER = Belief(0.03, "invented: marks that have nothing to do with each other")
"""Shares of the whole, whatever the number of suspects."""

MISSED_MARK = Belief(0.12, "memory: a mark between two measured ones is passed over about once in eight")
FOLLOWED_MARK = Belief(0.25, "invented: with one mark from each sheet, one in four followed it and left the others out")
STRAY_MARK = Belief(0.02, "memory: now and then one measured mark belongs to something else")
