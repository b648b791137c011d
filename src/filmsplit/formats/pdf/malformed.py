"""The one exception of the readers below a page: something is not as the standard has it."""

from __future__ import annotations

import pikepdf


class Malformed(Exception):
    """Caught by the walk through a page, which skips what it belongs to and notes it. ``is_too_much``: there is more of
    it than is ever needed."""

    def __init__(self, what: str, *, is_too_much: bool = False) -> None:
        super().__init__(what)
        self.is_too_much = is_too_much


UNREADABLE = (
    pikepdf.PdfError,
    ValueError,
    TypeError,
    IndexError,
    KeyError,
    AttributeError,
    OverflowError,
    RuntimeError,
)
"""What the library raises where a file is not as it should be."""
