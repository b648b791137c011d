"""What a person asks of a press as it is described: its facts, whether it holds together, how it compares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from filmsplit.actions.find import find_press
from filmsplit.formats.press_file import LoadedPress
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press
from filmsplit.press.facts import PressFacts, facts_of
from filmsplit.press.unknowns import RankedUnknown, ranked_unknowns


@dataclass(frozen=True, slots=True, kw_only=True)
class PressShown:
    """A press, its facts, what is assumed about it (what matters most first), and what the file should be told."""

    loaded: LoadedPress
    facts: PressFacts
    unknowns: tuple[RankedUnknown, ...]

    @property
    def press(self) -> Press:
        return self.loaded.press


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """One press file, looked at: ``problems`` are all there are; it can be used unless ``refused``."""

    reference: str
    refused: bool
    problems: tuple[Problem, ...]


def show_press(reference: str) -> PressShown:
    """The press meant by ``reference``, with its facts. Refuses a file that cannot be."""
    loaded = find_press(reference)
    return PressShown(
        loaded=loaded, facts=facts_of(loaded.press), unknowns=ranked_unknowns(loaded.press, purpose="marks")
    )


def check_presses(references: Sequence[str]) -> tuple[Checked, ...]:
    """Every press looked at on its own: one bad file does not hide what is wrong with the next."""
    return tuple(_check(reference) for reference in references)


def _check(reference: str) -> Checked:
    try:
        loaded = find_press(reference)
    except Refusal as refusal:
        return Checked(reference=reference, refused=True, problems=refusal.problems)
    return Checked(reference=reference, refused=False, problems=loaded.notices)
