"""Presses side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.actions.find import find_press
from filmsplit.messages import Problem, Refusal
from filmsplit.press.comparison import Comparison, compare
from filmsplit.press.interchange import Interchange, interchange_groups


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """The table, and which rollers fit where."""

    comparison: Comparison
    interchange: Interchange


def compare_presses(references: Sequence[str]) -> Compared:
    """Compare the presses meant; every press that cannot be read is named, not only the first."""
    presses, problems = [], list[Problem]()
    for reference in references:
        try:
            presses.append(find_press(reference).press)
        except Refusal as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise Refusal(problems)
    return Compared(comparison=compare(presses), interchange=interchange_groups(presses))
