"""CCITT packings, unpacked and proved: the codec at hand fills what it cannot read with white and says nothing.

ITU-T T.4 (group 3) and T.6 (group 4); TIFF revision 6.0, sections 10 and 11. A torn or damaged strip would come out as
paper, so two rows that nobody draws are written behind the last one. They come out where they belong only if every code
before them was read as it was written; anything else is refused.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from filmsplit.formats.tiff_layout import Packing

Bytes = NDArray[np.uint8]

END_OF_BLOCK = "000000000001" * 2
END_OF_LINE = "000000000001"
HORIZONTAL = "001"
WHITE_0, WHITE_2, BLACK_0 = "00110101", "0111", "0000110111"
RUN_2560 = "000000011111"
LONGEST_RUN = 2560
TWO_DIMENSIONS, FILLED = 1, 4
"""Bits of T4Options: rows may refer to the row above; line ends may be filled up to whole bytes."""
PROOF_ROWS = 2


class FaxDamaged(ValueError):
    """The codes do not come to the rows they should."""


def unpack_fax(data: bytes, dots: Bytes, *, packing: Packing, t4_options: int) -> Bytes:
    """Unpack to a byte per dot, 1 where the code says black, into ``dots``; the rows without the two of the proof.

    Raises ``FaxDamaged`` where it cannot be proved that every row was read as written.
    """
    import imagecodecs  # noqa: PLC0415  # heavy

    rows, width = len(dots) - PROOF_ROWS, dots.shape[1]
    for attempt in _attempts(data, width, packing=packing, twofold=bool(t4_options & TWO_DIMENSIONS)):
        try:
            if packing is Packing.CCITT_G4:
                imagecodecs.ccittfax4_decode(attempt, len(dots), width, out=dots)
            elif packing is Packing.CCITT_G3:
                imagecodecs.ccittfax3_decode(attempt, len(dots), width, t4options=t4_options | FILLED, out=dots)
            else:
                imagecodecs.ccittrle_decode(attempt, len(dots), width, out=dots)
        except (RuntimeError, ValueError):
            continue
        if dots[rows].all() and not dots[rows + 1, :2].any() and dots[rows + 1, 2:].all():
            return dots[:rows]
    raise FaxDamaged


def _attempts(data: bytes, width: int, *, packing: Packing, twofold: bool) -> Iterator[bytes]:
    """The data with the proof rows behind its last code: where that ends is known only to a few bits."""
    black_run = RUN_2560 * -(-width // LONGEST_RUN) + BLACK_0  # longer than the row: the codec stops at its end
    rows = (WHITE_0 + black_run, WHITE_2 + black_run)
    if packing is Packing.CCITT_G4:
        proof = "".join(HORIZONTAL + row for row in rows) + END_OF_BLOCK
    elif packing is Packing.CCITT_G3:
        proof = "".join(END_OF_LINE + "1" * twofold + row for row in rows) + END_OF_LINE
    else:
        filled = (row + "0" * (-len(row) % 8) for row in rows)
        proof = "".join(filled)
    for end in _possible_ends(data, packing=packing, twofold=twofold):
        yield _spliced(data, end, proof)


def _possible_ends(data: bytes, *, packing: Packing, twofold: bool) -> Iterator[int]:
    """Numbers of bits after which the codes of the last row may be over, the likeliest first."""
    held = data.rstrip(b"\0")
    if not held:
        return
    last = 8 * len(held) - (held[-1] & -held[-1]).bit_length() + 1
    if packing is Packing.CCITT_RLE:  # rows begin at whole bytes
        yield from range(8 * len(held), min(8 * len(data), 8 * len(held) + 16) + 1, 8)
        return
    mark = END_OF_BLOCK if packing is Packing.CCITT_G4 else END_OF_LINE + "1" * twofold
    end = last
    while _ends_with(held, end, mark):
        end -= len(mark)
        if packing is Packing.CCITT_G4:
            yield end
            return
    if end != last:  # group 3: between the last code and the end of line there may be fill
        yield end
    yield from range(last, min(8 * len(data), last + 12) + 1)


def _ends_with(data: bytes, end: int, bits: str) -> bool:
    """Whether the first ``end`` bits of ``data`` end with ``bits``."""
    if end < len(bits):
        return False
    first = (end - len(bits)) // 8
    behind = -end % 8
    value = int.from_bytes(data[first : (end + 7) // 8], "big") >> behind
    return value & ((1 << len(bits)) - 1) == int(bits, 2)


def _spliced(data: bytes, end: int, bits: str) -> bytes:
    """The first ``end`` bits of ``data``, then ``bits``, filled up with zeros."""
    whole, rest = divmod(end, 8)
    bits = (f"{data[whole]:08b}"[:rest] if rest else "") + bits
    bits += "0" * (-len(bits) % 8)
    return data[:whole] + int(bits, 2).to_bytes(len(bits) // 8, "big")
