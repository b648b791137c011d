"""Dots of a preview picture in a CIP3 file: found among the tokens, unpacked no further than its size."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.formats.ppf_tokens import SPACE, Broken, Scanner

END_OF_RUNS = 128
"""The length that ends run-length data (PostScript Language Reference, RunLengthDecode)."""
JPEG_ENDS = b"\xff\xd9"
Dots = NDArray[np.uint8]


class Short(Exception):
    """There are ``found`` bytes where ``needed`` should be."""

    def __init__(self, found: int, needed: int) -> None:
        self.found, self.needed = found, needed
        super().__init__(f"{found} of {needed} bytes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """Rows, columns and values to a dot, the bits of a value, and the bytes each row is a multiple of."""

    rows: int
    columns: int
    components: int
    bits: int = 8
    align: int = 1

    @property
    def row_bytes(self) -> int:
        needed = -(-self.columns * self.components * self.bits // 8)
        return -(-needed // self.align) * self.align

    @property
    def size_bytes(self) -> int:
        return self.row_bytes * self.rows

    def dots(self, data: bytes) -> Dots:
        """``rows x columns x components``, 0 to 255. Raises ``Short``."""
        if len(data) < self.size_bytes:
            raise Short(len(data), self.size_bytes)
        rows = np.frombuffer(data, dtype=np.uint8, count=self.size_bytes).reshape(self.rows, self.row_bytes)
        if self.bits == 1:
            rows = np.unpackbits(rows, axis=1) * np.uint8(255)
        return rows[:, : self.columns * self.components].reshape(self.rows, self.columns, self.components)


def picture_dots(scanner: Scanner, shape: Shape, *, encoding: str, compression: str) -> Dots:
    """The dots that follow the word for the picture; the scanner goes on behind them. Raises ``Broken``, ``Short``."""
    _one_space(scanner)
    raw, scanner.at = ENCODINGS[encoding](scanner, shape, compression)
    if compression == "DCTDecode":
        return _jpeg(raw, shape, at=scanner.at)
    data = _runs(raw, 0, most=shape.size_bytes)[0] if compression == "RunLengthDecode" else raw
    return shape.dots(data)


def _one_space(scanner: Scanner) -> None:
    """One white space, or the two that end a line, stands between a word and data."""
    if scanner.data[scanner.at : scanner.at + 2] == b"\r\n":
        scanner.at += 2
    elif scanner.data[scanner.at : scanner.at + 1] in tuple(bytes([each]) for each in SPACE):
        scanner.at += 1


def _hex(scanner: Scanner, _shape: Shape, _compression: str) -> tuple[bytes, int]:
    end = scanner.data.find(b">", scanner.at)
    if end < 0:
        raise Broken(scanner.at)
    digits = scanner.data[scanner.at : end].translate(None, SPACE)
    if not re.fullmatch(rb"[0-9a-fA-F]*", digits):
        raise Broken(scanner.at)
    return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii")), end + 1


def _ascii85(scanner: Scanner, _shape: Shape, _compression: str) -> tuple[bytes, int]:
    import base64  # noqa: PLC0415 - seldom needed

    end = scanner.data.find(b"~>", scanner.at)
    if end < 0:
        raise Broken(scanner.at)
    try:
        return base64.a85decode(scanner.data[scanner.at : end], ignorechars=SPACE), end + 2
    except ValueError:
        raise Broken(scanner.at) from None


def _binary(scanner: Scanner, shape: Shape, compression: str) -> tuple[bytes, int]:
    """Where plain bytes end only their packing tells."""
    if compression == "DCTDecode":
        end = scanner.data.find(JPEG_ENDS, scanner.at)
        if end < 0:
            raise Broken(scanner.at)
        return scanner.data[scanner.at : end + 2], end + 2
    if compression == "RunLengthDecode":
        end = _runs(scanner.data, scanner.at, most=shape.size_bytes)[1]
        return scanner.data[scanner.at : end], end
    end = scanner.at + shape.size_bytes
    return scanner.data[scanner.at : end], end


ENCODINGS: dict[str, Callable[[Scanner, Shape, str], tuple[bytes, int]]] = {
    "ASCIIHexDecode": _hex,
    "ASCII85Decode": _ascii85,
    "Binary": _binary,
}
COMPRESSIONS = ("None", "RunLengthDecode", "DCTDecode")


def _runs(data: bytes, at: int, *, most: int) -> tuple[bytes, int]:
    """Run-length data unpacked, and where they end: at their end mark, or where there is enough without one."""
    found = bytearray()
    while at < len(data):
        length = data[at]
        if length == END_OF_RUNS:
            return bytes(found), at + 1
        if len(found) >= most:
            break
        if length < END_OF_RUNS:
            found += data[at + 1 : at + 2 + length]
            at += 2 + length
        else:
            found += data[at + 1 : at + 2] * (257 - length)
            at += 2
    return bytes(found), min(at, len(data))


def _jpeg(data: bytes, shape: Shape, *, at: int) -> Dots:
    """A picture of the size that was told; full ink is 255 where there are several, as in plain data."""
    from PIL import Image  # noqa: PLC0415 - heavy

    from filmsplit.formats.picture_reader import no_surprises, without_bomb_alarm  # noqa: PLC0415 - with it

    with no_surprises(""), without_bomb_alarm(Image):
        picture = Image.open(io.BytesIO(data), formats=("JPEG",))
        if picture.size != (shape.columns, shape.rows) or len(picture.getbands()) != shape.components:
            raise Broken(at)
        dots = np.asarray(picture, dtype=np.uint8).reshape(shape.rows, shape.columns, shape.components)
    # Pillow always turns inks round; whoever writes the Adobe marker has stored them so.
    return 255 - dots if picture.mode == "CMYK" and "adobe" not in picture.info else dots
