"""A procedure: steps in order, each with its one press state. Frozen data; reading a file checks it whole."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.press.rows import COMMON_PRACTICE, Only, row
from filmsplit.procedures.words import Act, PressState, When


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do. ``state`` is the press state it is done in; a change of state is a step of its own."""

    state: PressState = row("press state in which the step is done", required=True)
    act: Act = row("what the person does; the word decides whether hands come near rollers", required=True)
    to: PressState | None = row(
        "press state that the step ends in", only=Only("act", (Act.CHANGE_STATE,)), assumed=None
    )
    when: When = row("for which units the step is meant", assumed=When.ALWAYS)
    do: str = row("what to do, in one or two sentences", required=True)
    look_for: str = row("what shows that it is done or right", assumed="")
    caution: str = row("what can hurt here, and what keeps it away", assumed="")
    chemistry: bool = row("whether the step uses wash, etch, concentrate or another chemical", assumed=False)

    @property
    def ends_in(self) -> PressState:
        return self.to if self.act is Act.CHANGE_STATE and self.to is not None else self.state


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """Steps in order. ``source`` says where it comes from; the press manual comes before all of them."""

    id: str = row("short name of the procedure, in small letters", required=True)
    title: str = row("what the person gets done", required=True)
    source: str = row("where the order of steps comes from", assumed=COMMON_PRACTICE)
    steps: tuple[Step, ...] = row("the steps in order", required=True)

    @property
    def chemistry(self) -> bool:
        return any(step.chemistry for step in self.steps)
