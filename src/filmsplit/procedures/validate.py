"""What is wrong with a procedure, step by step. The same rules hold for ours and for a shop's own."""

from __future__ import annotations

import re
from collections.abc import Iterator

from filmsplit.messages import Problem
from filmsplit.procedures.procedure import Procedure, Step
from filmsplit.procedures.words import PASSAGES, Act, PressState

FORBIDDEN_WORDS = re.compile(
    r"\b(safe|safely|safety-proof|harmless|risk-free|no danger|not dangerous)\b", re.IGNORECASE
)
"""A program cannot see a press: no step may be called safe."""

HAND_WORDS = re.compile(
    r"\b(wipe|wiping|scrub|rub|feel|touch|grip|grease|oil|unscrew|tighten|loosen|slacken|lift out|pull out|"
    r"by hand|with a (?:cloth|rag|knife|spatula)|feeler|durometer)\b",
    re.IGNORECASE,
)
"""Words for work of the hands. In a step whose act does not touch they show that the act was chosen wrongly."""

FIRST_STATES = (PressState.DESK, PressState.RUNNING, PressState.ISOLATED, PressState.OFF_PRESS)


def problems_of(procedure: Procedure) -> tuple[Problem, ...]:
    """Every problem, each with the path of its step; none for a procedure that keeps the rules."""
    found = [problem for number, step in enumerate(procedure.steps, start=1) for problem in _of_step(step, number)]
    found += _of_order(procedure)
    return tuple(found)


def _of_step(step: Step, number: int) -> Iterator[Problem]:
    at = {"step": number, "state": step.state.value, "act": step.act.value}
    path = step_path(number)
    if step.act.touches and not step.state.hands_may_touch:
        yield Problem("procedure-hands-in-moving-press", at, (*path, "state"))
    if not step.act.touches and not step.state.hands_may_touch:
        for word in HAND_WORDS.findall(step.do):
            yield Problem("procedure-hand-work-in-words", {**at, "word": word}, (*path, "do"))
    for text in (step.do, step.look_for, step.caution):
        for word in FORBIDDEN_WORDS.findall(text):
            yield Problem("procedure-calls-safe", {**at, "word": word}, (*path, "do"))
    if step.act is Act.CHANGE_STATE and step.to is None:
        yield Problem("procedure-change-to-nothing", at, (*path, "to"))
    if step.act is Act.CHANGE_STATE and step.to is not None and (step.state, step.to) not in PASSAGES:
        yield Problem("procedure-no-such-change", {**at, "to": step.to.value}, (*path, "to"))


def _of_order(procedure: Procedure) -> Iterator[Problem]:
    """A change of state is a step of its own, and a procedure does not begin with fingers already on moving rollers."""
    first = procedure.steps[0] if procedure.steps else None
    if first is not None and first.state not in FIRST_STATES:
        yield Problem("procedure-begins-inching", {"state": first.state.value}, (*step_path(1), "state"))
    for number, (before, after) in enumerate(zip(procedure.steps, procedure.steps[1:], strict=False), start=2):
        if before.ends_in is not after.state:
            values = {"step": number, "before": before.ends_in.value, "state": after.state.value}
            yield Problem("procedure-state-jumps", values, (*step_path(number), "state"))


def step_path(number: int) -> tuple[str, ...]:
    """Where a step stands in a procedure file."""
    return ("steps", f"#{number}")
