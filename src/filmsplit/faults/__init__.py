"""what is wrong and what to check next"""

from filmsplit.faults.marks import Mark, as_marks
from filmsplit.faults.match import match_marks
from filmsplit.faults.places import MarkPlaces, Place, Seen, places_of
from filmsplit.faults.priors import Rule, SuspectKind
from filmsplit.faults.result import Finding, MarkMatch, RankedSuspect
from filmsplit.faults.steps import NextStep, StepKind
from filmsplit.faults.suspects import Suspect, suspects_of
from filmsplit.faults.travel import Walk, Window, walks_of, window_of

__all__ = [
    "Finding",
    "Mark",
    "MarkMatch",
    "MarkPlaces",
    "NextStep",
    "Place",
    "RankedSuspect",
    "Rule",
    "Seen",
    "StepKind",
    "Suspect",
    "SuspectKind",
    "Walk",
    "Window",
    "as_marks",
    "match_marks",
    "places_of",
    "suspects_of",
    "walks_of",
    "window_of",
]
