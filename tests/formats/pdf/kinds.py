"""A kind of bad file: its name, how it is made, and what should come of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

READ = "read"
"""It is read, and what is drawn is right: full cyan on half of the page."""
REFUSED = "refused"
"""It is refused, with whatever message."""
EITHER = "either"
"""Readers may differ; a message or a picture, within the limits."""


@dataclass(frozen=True)
class Kind:
    """``expected`` is one of the three words, or the message of the refusal."""

    name: str
    made: Callable[[], bytes]
    expected: str


def kind(name: str, made: Callable[[], bytes], expected: str) -> Kind:
    return Kind(name, made, expected)
