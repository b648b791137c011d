"""What a page uses that is not drawn as the standard says: each kind once, with how often it was met."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from filmsplit.messages import Problem, Refusal
from filmsplit.messages.problem import Severity


@dataclass(slots=True)
class Ledger:
    """Kept while a page is read. What can not be drawn truly is a warning where it is likely to be small, and a refusal
    where the plate would be wrong: which of both stands in the message's own entry of the catalogue."""

    page: int = 1
    _met: dict[tuple[str, tuple[tuple[str, object], ...]], int] = field(default_factory=dict)

    def note(self, slug: str, **values: object) -> None:
        """Something of this kind was met. ``values`` fill the message; its ``page`` and ``times`` are added here."""
        key = (slug, tuple(sorted(values.items())))
        self._met[key] = self._met.get(key, 0) + 1

    def problems(self) -> Iterator[Problem]:
        for (slug, values), times in self._met.items():
            yield Problem(slug, {"page": self.page, "times": times, **dict(values)})

    def settle(self) -> tuple[Problem, ...]:
        """The warnings. Raises ``Refusal`` with everything that was refused, if anything was."""
        told = tuple(self.problems())
        refused = [each for each in told if each.severity is Severity.REFUSED]
        if refused:
            raise Refusal(refused)
        return told
