"""The closed word lists of a procedure: press states, and what a person does in a step."""

from __future__ import annotations

from enum import Enum

from filmsplit.messages import label


class PressState(Enum):
    """What the press is doing while a step is done. Every step has exactly one."""

    DESK = "desk"
    RUNNING = "running"
    INCHING = "inching"
    ISOLATED = "isolated"
    OFF_PRESS = "off-press"

    @property
    def text(self) -> str:
        """The state in the reader's language."""
        return label(f"press-state.{self.value}")

    @property
    def hands_may_touch(self) -> bool:
        """Whether a step that touches rollers or cylinders may exist in this state at all."""
        return self in (PressState.ISOLATED, PressState.OFF_PRESS)

    @property
    def moves(self) -> bool:
        """Whether rollers turn, or may turn: a gate passed before does not count after it."""
        return self in (PressState.RUNNING, PressState.INCHING)

    @property
    def at_press(self) -> bool:
        return self in (PressState.RUNNING, PressState.INCHING, PressState.ISOLATED)


class Act(Enum):
    """What a person does in a step. The word decides whether hands come near rollers; a step cannot say otherwise."""

    CHANGE_STATE = "change-state"
    WRITE = "write"
    LOOK_UP = "look-up"
    WATCH = "watch"
    WAIT = "wait"
    SET_CONTROL = "set-control"
    TAKE_SHEET = "take-sheet"
    READ_METER = "read-meter"
    CLEAN_BY_HAND = "clean-by-hand"
    TURN_ADJUSTER = "turn-adjuster"
    MEASURE = "measure"
    FILL = "fill"
    FIT = "fit"
    LIFT_OUT = "lift-out"

    @property
    def touches(self) -> bool:
        return self in _TOUCHING


_TOUCHING = frozenset({Act.CLEAN_BY_HAND, Act.TURN_ADJUSTER, Act.MEASURE, Act.FILL, Act.FIT, Act.LIFT_OUT})

PASSAGES = frozenset(
    {
        (PressState.DESK, PressState.RUNNING),
        (PressState.DESK, PressState.ISOLATED),
        (PressState.DESK, PressState.OFF_PRESS),
        (PressState.RUNNING, PressState.INCHING),
        (PressState.RUNNING, PressState.ISOLATED),
        (PressState.RUNNING, PressState.DESK),
        (PressState.INCHING, PressState.RUNNING),
        (PressState.INCHING, PressState.ISOLATED),
        (PressState.ISOLATED, PressState.INCHING),
        (PressState.ISOLATED, PressState.RUNNING),
        (PressState.ISOLATED, PressState.OFF_PRESS),
        (PressState.ISOLATED, PressState.DESK),
        (PressState.OFF_PRESS, PressState.ISOLATED),
        (PressState.OFF_PRESS, PressState.DESK),
    }
)
"""Which state can follow which. Nothing goes from moving rollers to a roller in the hand but over the lock."""


class When(Enum):
    """For which units a step is meant."""

    ALWAYS = "always"
    DUCTED_WATER = "ducted-water"
    CONTINUOUS_WATER = "continuous-water"
    OWN_WATER_FORMS = "own-water-forms"
    INTEGRATED_WATER = "integrated-water"
    NO_WATER = "no-water"
    DUCTED_INK = "ducted-ink"
    BRIDGE = "bridge"
