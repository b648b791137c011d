"""Where the work lies: sheet on the plate, image on the sheet, turn, repeats, and what the person declares."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum


class Turn(Enum):
    """Clockwise turn of the picture, in degrees. Unturned, its top is at the lead edge, its left at the operator."""

    NONE = 0
    QUARTER = 90
    HALF = 180
    THREE_QUARTERS = 270


class WorkStyle(Enum):
    """How the back of the sheet is printed. The second and third carry front and back on one plate."""

    SHEETWISE = "sheetwise"
    WORK_AND_TURN = "work_and_turn"
    WORK_AND_TUMBLE = "work_and_tumble"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The sheet on the plate: its lead edge from the plate's, its side from the plate's operator side, its size."""

    length_mm: float
    width_mm: float
    lead_mm: float = 0.0
    side_mm: float = 0.0
    gripper_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StepAndRepeat:
    """The picture several times: how often each way, and from one to the next (edge to like edge)."""

    times_round: int = 1
    times_across: int = 1
    step_round_mm: float = 0.0
    step_across_mm: float = 0.0

    @property
    def times(self) -> int:
        return self.times_round * self.times_across

    @property
    def reach_mm(self) -> tuple[float, float]:
        """From the first picture to the last, round and across."""
        return (self.times_round - 1) * self.step_round_mm, (self.times_across - 1) * self.step_across_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """The first picture's place: its lead edge and its operator side, from those of the sheet (of the plate, where no
    sheet is told). ``mirrored`` and ``negative`` are what the person says of the file; nobody else decides that.
    """

    sheet: Sheet | None = None
    lead_mm: float = 0.0
    side_mm: float = 0.0
    turn: Turn = Turn.NONE
    mirrored: bool = False
    negative: bool = False
    repeat: StepAndRepeat = field(default_factory=StepAndRepeat)
    style: WorkStyle = WorkStyle.SHEETWISE
