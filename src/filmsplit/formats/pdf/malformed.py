"""The one exception of the readers below a page: something is not as the standard has it."""

from __future__ import annotations


class Malformed(Exception):
    """Caught by the walk through a page, which skips what it belongs to and notes it."""


class TooMuch(Malformed):
    """There is more of it than is ever needed."""
