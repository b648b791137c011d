"""A profile of a printing condition whose inks follow from lightness by plain arithmetic (ISO 15076-1:2010, 10.11)."""

from __future__ import annotations

import struct

import numpy as np


def cmyk_profile() -> bytes:
    """Version 2, from Lab to four inks: black is 1 less L*/100, the others are none."""
    table = _lut8(3, 4, _inks)
    back = _lut8(4, 3, _lab)
    tags = {b"B2A0": table, b"A2B0": back, b"wtpt": b"XYZ \0\0\0\0" + struct.pack(">3i", 63190, 65536, 54061)}
    entries, data, at = b"", b"", 128 + 4 + 12 * len(tags)
    for name, body in tags.items():
        padded = body + b"\0" * (-len(body) % 4)
        entries += name + struct.pack(">II", at + len(data), len(body))
        data += padded
    whole = struct.pack(">I", len(tags)) + entries + data
    white = struct.pack(">3i", 63190, 65536, 54061)
    header = struct.pack(
        ">I4sI4s4s4s12s4s", 128 + len(whole), b"\0\0\0\0", 0x02400000, b"prtr", b"CMYK", b"Lab ", b"", b"acsp"
    )
    return (header.ljust(68, b"\0") + white).ljust(128, b"\0") + whole


def _inks(lab: tuple[int, ...]) -> tuple[int, ...]:
    return (0, 0, 0, 255 * (1 - lab[0]))


def _lab(inks: tuple[int, ...]) -> tuple[int, ...]:
    return (255 * (1 - inks[3]), 128, 128)


def _lut8(inputs: int, outputs: int, law: object) -> bytes:
    """Tables of straight lines around a grid of two points each way, the first input slowest."""
    straight = bytes(range(256))
    grid = bytes(v for at in np.ndindex(*(2,) * inputs) for v in law(at))  # type: ignore[operator]
    matrix = struct.pack(">9i", 65536, 0, 0, 0, 65536, 0, 0, 0, 65536)
    return b"mft1\0\0\0\0" + bytes([inputs, outputs, 2, 0]) + matrix + straight * inputs + grid + straight * outputs
