"""Any text as a name token, and back: XJDF takes no blanks in job numbers and names of inks.

Source: XML Schema Part 2, ``NMTOKEN``; ISO/IEC 9075-14 (SQL/XML), which writes a character that may not stand in a name
as ``_xHHHH_`` (``_xHHHHHHHH_`` beyond four digits) and so an underscore that would read like that.
"""

from __future__ import annotations

import re

_OUTSIDE = re.compile("_(?=x[0-9A-F]{4})|[^-.:_0-9A-Za-z\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u00ff]")
"""What is written by its number. Letters beyond Latin-1 are too: editions of XML differ on them."""
_WRITTEN = re.compile("_x([0-9A-F]{8}|[0-9A-F]{4})_")
_LAST = 0x10FFFF


def to_token(text: str) -> str:
    """The text as a token; two texts never give one token."""
    return _OUTSIDE.sub(lambda found: _number(ord(found[0])), text)


def from_token(token: str) -> str:
    """The text a token stands for; what is written otherwise stays as it is."""
    return _WRITTEN.sub(_character, token)


def _number(code: int) -> str:
    return f"_x{code:04X}_" if code <= 0xFFFF else f"_x{code:08X}_"


def _character(found: re.Match[str]) -> str:
    code = int(found[1], 16)
    return chr(code) if code <= _LAST else found[0]
