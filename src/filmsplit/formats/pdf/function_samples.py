"""Functions of type 0: a table of samples, straight lines between them (ISO 32000-2, 7.10.2)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pikepdf import Stream

from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import numbers_of, pairs_of, whole_of
from filmsplit.formats.pdf.unpacked import unpacked

MOST_SAMPLES = 1 << 24
"""Numbers in one table (invented; the tables of drawing programs have some thousands)."""
MOST_INPUTS = 16
"""Corners double with each input."""
AT_ONCE = 1 << 21
"""Numbers that are looked up at once."""
DEPTHS = (1, 2, 4, 8, 12, 16, 24, 32)


@dataclass(frozen=True, slots=True, kw_only=True)
class Samples:
    """``table`` is ``(samples, outputs)``, decoded, the first input running fastest; ``sizes`` are samples by input."""

    table: NDArray[np.float32] | Numbers
    sizes: NDArray[np.int64]
    domain: Numbers
    encode: Numbers

    @property
    def inputs(self) -> int:
        return int(self.sizes.size)

    @property
    def outputs(self) -> int:
        return int(self.table.shape[1])

    def __call__(self, values: Numbers) -> Numbers:
        step = max(1, AT_ONCE // (self.outputs << self.inputs))
        if len(values) <= step:
            return self._looked_up(values)
        return np.concatenate([self._looked_up(values[at : at + step]) for at in range(0, len(values), step)])

    def _looked_up(self, values: Numbers) -> Numbers:
        """Between the corners of the cell each value falls in, one input after the other."""
        width = self.domain[:, 1] - self.domain[:, 0]
        share = np.divide(values - self.domain[:, 0], width, out=np.zeros_like(values), where=width > 0)
        at = self.encode[:, 0] + share * (self.encode[:, 1] - self.encode[:, 0])
        at = np.clip(at, 0.0, self.sizes - 1.0)
        low = np.minimum(at.astype(np.int64), np.maximum(self.sizes - 2, 0))
        found = self.table[self._corners(low)].astype(np.float64)
        for axis in range(self.inputs):
            part = (at[:, axis] - low[:, axis])[:, None, None]
            found = found[:, 0::2] * (1.0 - part) + found[:, 1::2] * part
        return found[:, 0]

    def _corners(self, low: NDArray[np.int64]) -> NDArray[np.int64]:
        """Places in the table, ``(n, 2 ** inputs)``: the first input changes fastest."""
        strides = np.concatenate([[1], np.cumprod(self.sizes[:-1])])
        places = (low @ strides)[:, None]
        for axis in range(self.inputs):
            step = strides[axis] if self.sizes[axis] > 1 else 0
            places = np.concatenate([places, places + step], axis=1)
        return np.asarray(places, dtype=np.int64)


def samples(described: Stream, *, domain: Numbers, bounds: Numbers) -> Samples:
    """The table of a stream. Raises ``Malformed``."""
    sizes = _sizes(described, domain.shape[0])
    outputs, bits = bounds.shape[0], whole_of(described.get("/BitsPerSample"), least=1, most=32)
    count = int(np.prod(sizes.astype(np.float64))) * outputs
    if bits not in DEPTHS or count > MOST_SAMPLES:
        raise Malformed("a table of samples that is too large or of no depth")
    decode = pairs_of(described["/Decode"], count=outputs) if "/Decode" in described else bounds
    encode = pairs_of(described["/Encode"], count=sizes.size) if "/Encode" in described else _whole(sizes)
    raw = numbers_of_bits(unpacked(described, most=count * 4 + 4096), bits, count=count)
    table = decode[:, 0] + raw.reshape(-1, outputs) * ((decode[:, 1] - decode[:, 0]) / (2.0**bits - 1.0))
    return Samples(table=table, sizes=sizes, domain=domain, encode=encode)


def _sizes(described: Stream, inputs: int) -> NDArray[np.int64]:
    told = numbers_of(described.get("/Size"), least=inputs)[:inputs]
    if inputs > MOST_INPUTS or np.any(told < 1) or np.any(told > MOST_SAMPLES) or np.any(told != np.floor(told)):
        raise Malformed("a table of samples without a size")
    return told.astype(np.int64)


def _whole(sizes: NDArray[np.int64]) -> Numbers:
    return np.stack([np.zeros(sizes.size), sizes - 1.0], axis=1)


def numbers_of_bits(data: bytes, bits: int, *, count: int) -> Numbers:
    """``count`` numbers of so many bits each, one behind the other. Raises ``Malformed`` where data are missing."""
    needed = (count * bits + 7) // 8
    if len(data) < needed:
        raise Malformed("samples are missing")
    if bits in (8, 16, 32):
        return np.frombuffer(data[:needed], dtype=f">u{bits // 8}").astype(np.float64)
    if bits == 24:
        parts = np.frombuffer(data[:needed], dtype=np.uint8).reshape(-1, 3)
        return np.asarray(parts @ np.array([65536.0, 256.0, 1.0]), dtype=np.float64)
    each = np.unpackbits(np.frombuffer(data[:needed], dtype=np.uint8))[: count * bits].reshape(count, bits)
    return np.asarray(each @ (2.0 ** np.arange(bits - 1, -1, -1)), dtype=np.float64)
