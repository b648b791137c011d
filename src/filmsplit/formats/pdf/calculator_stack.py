"""The stack a calculator function works on: each place holds a number of every sample."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.malformed import Malformed

MOST_DEEP = 1000
"""The standard asks for 100 places (ISO 32000-2, table C.1)."""


class Diverged(Exception):
    """Samples go ways that can not be gone together; one by one they can."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One place of the stack: a number a sample, or one for all (no dimension); 1 is true, 0 is false."""

    numbers: Numbers
    is_boolean: bool = False

    def broadcast(self, count: int) -> Numbers:
        return np.broadcast_to(self.numbers, (count,))

    def only(self, chosen: NDArray[np.bool_]) -> Entry:
        if self.numbers.ndim == 0:
            return self
        return Entry(numbers=self.numbers[chosen], is_boolean=self.is_boolean)


@dataclass(slots=True, kw_only=True)
class Stack:
    """``count`` samples at once. ``procedures`` wait for a branch."""

    count: int
    entries: list[Entry] = field(default_factory=list)
    procedures: list[Any] = field(default_factory=list)

    def push(self, entry: Entry) -> None:
        if len(self.entries) >= MOST_DEEP:
            raise Malformed("a stack that grows too high")
        self.entries.append(entry)

    def pop(self) -> Entry:
        if not self.entries:
            raise Malformed("an empty stack")
        return self.entries.pop()

    def number(self) -> Numbers:
        """The numbers of the upper place, which is taken off."""
        found = self.pop()
        if found.is_boolean:
            raise Malformed("a number is needed, not true or false")
        return found.numbers

    def whole(self) -> int:
        """One whole number for all samples. Raises ``Diverged`` where they differ."""
        found = np.atleast_1d(self.number())
        if not found.size or not np.isfinite(found[0]) or abs(found[0]) > MOST_DEEP or found[0] != int(found[0]):
            if found.size > 1:
                raise Diverged
            raise Malformed("a whole number is needed")
        if not (found == found[0]).all():
            raise Diverged
        return int(found[0])

    def only(self, chosen: NDArray[np.bool_]) -> Stack:
        """The same stack for some of the samples."""
        kept = [each.only(chosen) for each in self.entries]
        return Stack(count=int(chosen.sum()), entries=kept, procedures=list(self.procedures))

    def merge(self, chosen: NDArray[np.bool_], first: Stack, *, other: Stack) -> None:
        """Take over what two ways have left, the first for the chosen samples."""
        if [each.is_boolean for each in first.entries] != [each.is_boolean for each in other.entries]:
            raise Diverged
        self.entries = [
            one if one is two else _merged(chosen, one, other=two)
            for one, two in zip(first.entries, other.entries, strict=True)
        ]


def _merged(chosen: NDArray[np.bool_], one: Entry, *, other: Entry) -> Entry:
    out = np.empty(chosen.size)
    out[chosen] = one.numbers
    out[~chosen] = other.numbers
    return Entry(numbers=out, is_boolean=one.is_boolean)
