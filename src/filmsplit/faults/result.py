"""The answer: ranked suspects with what each would mean, and whether they can be told apart."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from filmsplit.faults.marks import Mark
from filmsplit.faults.priors import Rule
from filmsplit.faults.steps import NextStep
from filmsplit.faults.suspects import Suspect
from filmsplit.faults.travel import Walk
from filmsplit.messages import Problem, label


class Finding(Enum):
    """Whether the distances name one part, and if not, why not."""

    TOLD = "told"
    ONE_MARK = "one_mark"
    ALIKE = "alike"
    CLOSE = "close"
    UNSURE = "unsure"
    NONE_FITS = "none_fits"

    @property
    def text(self) -> str:
        """The sentence to print."""
        return label(f"mark_finding.{self.value}")


@dataclass(frozen=True, slots=True, kw_only=True)
class RankedSuspect:
    """One suspect by its best explanation.

    ``alike`` are ids of suspects with the same repeat: distances cannot tell them from this one, they share the
    probability. ``counts`` are turns from the first mark used. ``fitted_mm`` comes from the marks alone;
    ``diameter_mm`` is the diameter of a roller that would mark so. Fitted values are ``None`` while there is one mark.
    ``traces``: some marks are taken for traces of the sheet before, and stand in ``marks`` under its number.
    """

    suspect: Suspect
    probability: float
    alike: tuple[str, ...]
    alike_names: tuple[str, ...]
    rule: Rule
    turns: float
    expected_mm: float
    expected_sd_mm: float
    marks: tuple[Mark, ...]
    counts: tuple[int, ...]
    residuals_mm: tuple[float, ...]
    stray: Mark | None
    fitted_mm: float | None
    fitted_sd_mm: float | None
    diameter_mm: float | None
    diameter_sd_mm: float | None
    walks: tuple[Walk, ...]

    traces: bool

    @property
    def rule_text(self) -> str:
        """The rule in words."""
        return label(f"mark_rule.{self.rule.value}", turns=f"{self.turns:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkMatch:
    """What the marks say about this press. Probabilities of ``ranked`` and ``unlisted`` add up to 1.

    ``separation_sd`` is how far apart the best two different repeats put the marks, in combined standard deviations;
    ``None`` where there are no two or only one mark.
    """

    press: str
    marks: tuple[Mark, ...]
    ranked: tuple[RankedSuspect, ...]
    unlisted: float
    finding: Finding
    separation_sd: float | None
    next_steps: tuple[NextStep, ...]
    notes: tuple[Problem, ...]

    @property
    def can_tell(self) -> bool:
        """Whether the distances name one part."""
        return self.finding is Finding.TOLD

    @property
    def best(self) -> RankedSuspect | None:
        return self.ranked[0] if self.ranked else None
