"""The inks of a PDF page: the four process inks, and every spot colour the page's resources name."""

from __future__ import annotations

from dataclasses import dataclass

PROCESS = ("Cyan", "Magenta", "Yellow", "Black")
"""Names of the process colorants (ISO 32000-2, 8.6.6.5), in the order of DeviceCMYK."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inks:
    """The plates of a page, in order: process inks first, then spots as they are met. Names are told apart by case,
    as the standard does."""

    spots: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        return PROCESS + self.spots

    @property
    def count(self) -> int:
        return len(self.names)

    @property
    def process(self) -> frozenset[int]:
        """Places of the process inks."""
        return frozenset(range(len(PROCESS)))

    @property
    def all(self) -> frozenset[int]:
        return frozenset(range(self.count))

    def place(self, name: str) -> int | None:
        """Where an ink of this name stands; ``None`` if it has no plate here."""
        return self.names.index(name) if name in self.names else None
