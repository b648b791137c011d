"""What to do next to tell two suspects apart, and in what state the press must be for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from filmsplit.messages import label
from filmsplit.procedures.words import PressState


class StepKind(Enum):
    """What is done."""

    SECOND_MARK = "second_mark"
    MORE_MARKS = "more_marks"
    NEXT_PLACE = "next_place"
    NEXT_PLACE_ABSENT = "next_place_absent"
    MEASURE_ROLLER = "measure_roller"
    INSPECT = "inspect"
    WATCH_CYCLE = "watch_cycle"


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    """One step. ``separation_sd`` is how clearly it would tell the two apart, in combined standard deviations."""

    kind: StepKind
    state: PressState
    separation_sd: float | None = None
    values: Mapping[str, object] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """The sentence to print, without the press state."""
        return label(f"mark_step.{self.kind.value}", **self.values)
