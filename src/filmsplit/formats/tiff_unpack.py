"""From the bytes of the file to rows of packed dots: read, turn bits, unpack, check that all of it came."""

from __future__ import annotations

import os
import shutil
import tempfile
import threading
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from filmsplit.formats.tiff_bands import Band
from filmsplit.formats.tiff_fax import PROOF_ROWS, unpack_fax
from filmsplit.formats.tiff_layout import Layout, Packing
from filmsplit.messages import Problem, Refusal

Bytes = NDArray[np.uint8]

MOST_IN_MEMORY = 160 * 2**20
"""A piece that needs more room than this goes to a temporary file: writers may put a whole plate into one strip."""
MOST_ROOM = 6 * 2**30
"""The largest temporary file: five gigapixels at a byte a dot, as the CCITT codec gives them."""
ROWS_AT_A_TIME = 512


class Unpacker:
    """Fills bands of one page from an open file; may be asked by several threads."""

    def __init__(self, file: BinaryIO, layout: Layout, *, name: str) -> None:
        self.file, self.layout, self.name = file, layout, name
        self.one_at_a_time = threading.Lock()
        self.rooms = threading.local()

    def band(self, band: Band) -> Bytes:
        """The rows of a band, ``rows x bytes``; good until the same thread asks for another.

        Raises ``Refusal`` where a piece is damaged or cut short.
        """
        layout = self.layout
        row_bytes = layout.bytes_of(layout.width)
        filled = self._room("rows", (band.rows, row_bytes))
        at = 0
        for piece in band.pieces:
            if layout.pieces.tiled:
                self._tile(piece, filled)
                continue
            rows = band.rows if band.skipped is not None else int(layout.rows_of(np.array(piece)))
            self._rows_of(piece, filled[at : at + rows], skipped=band.skipped or 0)
            at += rows
        return filled

    def _room(self, kind: str, shape: tuple[int, int]) -> Bytes:
        """Room of this thread, taken again as long as it is large enough: fresh memory costs as much as counting."""
        size = shape[0] * shape[1]
        kept: Bytes | None = getattr(self.rooms, kind, None)
        if kept is None or kept.size < size:
            kept = room(size, name=self.name)
            setattr(self.rooms, kind, kept)
        return kept[:size].reshape(shape)

    def _tile(self, piece: int, filled: Bytes) -> None:
        pieces = self.layout.pieces
        width = self.layout.bytes_of(pieces.width)
        tile = self._room("tile", (pieces.height, width))
        self._rows_of(piece, tile)
        begin = piece % pieces.across * width
        part = filled[:, begin : begin + width]
        part[:] = tile[: part.shape[0], : part.shape[1]]

    def _rows_of(self, piece: int, rows: Bytes, *, skipped: int = 0) -> None:
        """Unpack a piece into ``rows``; ``skipped`` rows before them are left out (pieces that are not packed)."""
        layout = self.layout
        offset, length = (int(each[piece]) for each in (layout.pieces.offsets, layout.pieces.lengths))
        if layout.packing is Packing.NONE:
            offset, length = offset + skipped * rows.shape[1], rows.size
        data = self._bytes(offset, length)
        try:
            self._unpack(data, rows)
        except (RuntimeError, ValueError) as error:
            values = {"file": self.name, "page": layout.page, "piece": piece + 1}
            raise Refusal(Problem("tiff-piece-damaged", values)) from error
        if layout.differences:
            values_ = rows.reshape(len(rows), -1, layout.together)
            np.add.accumulate(values_, axis=1, dtype=np.uint8, out=values_)

    def _bytes(self, offset: int, length: int) -> bytes:
        import imagecodecs  # noqa: PLC0415  # heavy

        with self.one_at_a_time:
            self.file.seek(offset)
            data = self.file.read(length)
        if len(data) < length:
            values = {"file": self.name, "size": offset + len(data), "needed": offset + length}
            raise Refusal(Problem("plate-file-cut-short", values))
        return bytes(imagecodecs.bitorder_decode(data)) if self.layout.reversed_bits else data

    def _unpack(self, data: bytes, rows: Bytes) -> None:
        """Raises ``RuntimeError`` or ``ValueError`` where the data do not come to as many bytes as ``rows`` has."""
        import imagecodecs  # noqa: PLC0415  # heavy

        packing, flat = self.layout.packing, rows.reshape(-1)
        if packing is Packing.NONE:
            flat[:] = np.frombuffer(data, np.uint8)
        elif packing.is_fax:
            self._unpack_fax(data, rows)
        else:
            decode = {Packing.LZW: imagecodecs.lzw_decode, Packing.PACKBITS: imagecodecs.packbits_decode}
            came = decode.get(packing, imagecodecs.deflate_decode)(data, out=flat.data)
            if len(came) < flat.size:
                raise ValueError(f"{len(came)} bytes instead of {flat.size}")

    def _unpack_fax(self, data: bytes, rows: Bytes) -> None:
        """The codec gives a byte per dot; they are packed again at once, a few rows at a time."""
        layout = self.layout
        width = layout.pieces.width
        dots = unpack_fax(
            data,
            self._room("dots", (len(rows) + PROOF_ROWS, width)),
            packing=layout.packing,
            t4_options=layout.t4_options,
        )
        for begin in range(0, len(rows), ROWS_AT_A_TIME):
            end = begin + ROWS_AT_A_TIME
            rows[begin:end] = np.packbits(dots[begin:end], axis=1)


def room(size: int, *, name: str) -> Bytes:
    """Memory, or where that would be too much a temporary file that is gone when nobody looks at it any more."""
    if size <= MOST_IN_MEMORY:
        return np.empty(size, dtype=np.uint8)
    try:
        with tempfile.TemporaryFile() as file:
            _reserve(file.fileno(), size)
            return np.memmap(file, dtype=np.uint8, mode="w+", shape=(size,))
    except OSError as error:
        raise Refusal(Problem("plate-no-room", {"file": name, "megabytes": size / 2**20})) from error


def _reserve(handle: int, size: int) -> None:
    """Claim the disk now: running out of it later, while the file is memory, would end the program."""
    if size > MOST_ROOM:
        raise OSError
    if hasattr(os, "posix_fallocate"):
        os.posix_fallocate(handle, 0, size)
    elif shutil.disk_usage(tempfile.gettempdir()).free < size:
        raise OSError
