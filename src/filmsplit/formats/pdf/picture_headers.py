"""What the headers of packed pictures say, before anything is unpacked: how large they are, and in which colours."""

from __future__ import annotations

import struct
from dataclasses import dataclass

from filmsplit.formats.pdf.malformed import Malformed

FRAMES = frozenset({0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF})
"""Markers of JPEG that begin a frame (ITU-T T.81, table B.1)."""
BARE = frozenset({0x01, *range(0xD0, 0xD9)})
"""Markers without a length."""
SIZE_OF_2000 = b"\xff\x4f\xff\x51"
"""Start of a JPEG 2000 codestream (ITU-T T.800, A.4.1) and its size marker."""
JPX_GREY, JPX_SRGB, JPX_SYCC, JPX_CMYK = 17, 16, 18, 12
"""Enumerated colour spaces (ITU-T T.800, table I.10; T.801, M.11.7.3)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """``bits`` are of one sample. ``space`` is an enumerated space of JPEG 2000, 0 where none is told; ``is_told`` says
    that a JPEG tells itself whether it was turned into luminance and chrominance."""

    width: int
    height: int
    components: int
    bits: int
    space: int = 0
    is_told: bool = False


def jpeg_header(data: bytes) -> Header:
    """Of a JPEG. Raises ``Malformed`` where there is no frame."""
    at, is_told = 2, False
    while 0 <= at < len(data) - 9:
        if data[at] != 0xFF:
            at = data.find(b"\xff", at)
            continue
        marker = data[at + 1]
        if marker in BARE or marker == 0xFF:
            at += 1 if marker == 0xFF else 2
            continue
        if marker in FRAMES:
            bits, height, width, components = struct.unpack(">BHHB", data[at + 4 : at + 10])
            return Header(width=width, height=height, components=components, bits=bits, is_told=is_told)
        is_told = is_told or (marker == 0xEE and data[at + 4 : at + 9] == b"Adobe")
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    raise Malformed("a JPEG without a frame")


def jpx_header(data: bytes) -> Header:
    """Of a JPEG 2000 file or codestream. Raises ``Malformed``."""
    at = data.find(SIZE_OF_2000)
    if at < 0 or len(data) < at + 44:
        raise Malformed("a JPEG 2000 without a size")
    right, down, left, top = struct.unpack(">4I", data[at + 8 : at + 24])
    (components,) = struct.unpack(">H", data[at + 40 : at + 42])
    bits = (data[at + 42] & 0x7F) + 1
    if right <= left or down <= top or not components:
        raise Malformed("a JPEG 2000 of no size")
    return Header(width=right - left, height=down - top, components=components, bits=bits, space=_space(data[:at]))


def _space(boxes: bytes) -> int:
    """The first enumerated colour space; its box follows its name with method 1."""
    at = boxes.find(b"colr")
    while at >= 0:
        if boxes[at + 4 : at + 5] == b"\x01" and len(boxes) >= at + 11:
            return int.from_bytes(boxes[at + 7 : at + 11], "big")
        at = boxes.find(b"colr", at + 4)
    return 0
