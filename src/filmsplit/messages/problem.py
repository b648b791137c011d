"""What can be wrong, as data: a slug, the values that fill its sentence, and the place it points to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum

from filmsplit.messages.catalogue import MessageText, message_text
from filmsplit.messages.quantities import filled


class Severity(Enum):
    """How much a problem stops."""

    REFUSED = "refused"
    WARNING = "warning"
    INFORMATION = "information"


@dataclass(frozen=True, slots=True)
class Place:
    """Where in a file: line and column counted from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing a person should know. ``path`` is the place in the description, ``place`` the place in the file."""

    slug: str
    values: Mapping[str, object] = field(default_factory=dict)
    path: tuple[str, ...] = ()
    place: Place | None = None

    @property
    def severity(self) -> Severity:
        return Severity(message_text(self.slug).severity)

    @property
    def what(self) -> str:
        """What happened, with its values filled in."""
        return filled(self._text.what, self._shown)

    @property
    def remedy(self) -> str:
        """What to do about it."""
        return filled(self._text.remedy, self._shown)

    @property
    def _text(self) -> MessageText:
        return message_text(self.slug)

    @property
    def _shown(self) -> dict[str, object]:
        return {key: _shown(value) for key, value in self.values.items()}

    def at(self, place: Place | None) -> Problem:
        """The same problem, pointing at ``place``."""
        return replace(self, place=place)


def _shown(value: object) -> object:
    """Numbers without float noise; everything else as it is."""
    return f"{value:.4g}" if isinstance(value, float) else value


class Refusal(Exception):
    """Nothing was done, and these problems say why. The only exception a front has to expect."""

    def __init__(self, problems: Iterable[Problem] | Problem) -> None:
        self.problems = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("; ".join(problem.slug for problem in self.problems))
