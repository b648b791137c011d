"""What a person sees when something cannot be done: what, why, and the way out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from filmsplit.messages import Problem, label


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongPage:
    """Problems in plain words, each with its remedy."""

    template: ClassVar[str] = "wrong.html"
    place: ClassVar[str] = ""

    problems: tuple[Problem, ...]

    @property
    def title(self) -> str:
        return label("web.wrong")
