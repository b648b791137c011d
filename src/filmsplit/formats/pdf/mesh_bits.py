"""The data of meshes (ISO 32000-2, 8.7.4.5.5 to 8): the colours of their corners read, and written again as grey."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pikepdf import Array, Stream

from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import pairs_of, whole_of
from filmsplit.formats.pdf.unpacked import unpacked

TRIANGLES, LATTICE, COONS, TENSOR = 4, 5, 6, 7
POINTS = {COONS: (12, 8), TENSOR: (16, 12)}
"""Of a patch that stands alone, and of one that shares an edge with the one before it."""
COLOURS = (4, 2)
MOST_BYTES = 1 << 24
"""Of one mesh (invented)."""
GREY_BITS, GREY_TOP = 16, 65535
HALF_GREY = 1 / 510
"""The drawing library cuts greys of 256 off where colours come from a mesh or by place: half of one is added."""
Bits = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Records of one length. ``order`` are their places among all, ``head`` the bits before their colours, ``flags``
    and ``points`` ``(n, points, 2)`` what these tell; ``corners`` is how many colours each has."""

    order: NDArray[np.int64]
    head: Bits
    flags: NDArray[np.uint8]
    points: Numbers
    corners: int
    colours: Numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """``values`` are the colours of all corners, ``(n, components)``, group by group."""

    groups: tuple[Group, ...]
    components: int
    places: Numbers

    @property
    def values(self) -> Numbers:
        parts = [each.colours.reshape(-1, self.components) for each in self.groups]
        return np.concatenate([np.zeros((0, self.components)), *parts])

    def rewritten(self, made: Stream, grey: Numbers) -> None:
        """Give ``made`` the same corners, in grey."""
        made.write(self.packed(grey))
        made["/BitsPerComponent"] = GREY_BITS
        made["/Decode"] = Array([*(float(each) for each in self.places.ravel()), 0, 1.0 + HALF_GREY])

    def packed(self, grey: Numbers) -> bytes:
        """The data with one grey for each corner, in the order of ``values``."""
        records: dict[int, bytes] = {}
        at = 0
        for group in self.groups:
            count = len(group.order) * group.corners
            lines = _lines(group, grey[at : at + count])
            at += count
            records |= {int(place): line.tobytes() for place, line in zip(group.order, lines, strict=True)}
        return b"".join(records[place] for place in sorted(records))


def _lines(group: Group, grey: Numbers) -> Bits:
    """Whole bytes, one row a record."""
    samples = np.rint(GREY_TOP * (grey + HALF_GREY) / (1.0 + HALF_GREY)).astype(">u2")
    bits = np.unpackbits(samples.view(np.uint8).reshape(len(group.order), group.corners * 2), axis=1)
    return np.packbits(np.concatenate([group.head, bits], axis=1), axis=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layout:
    """How records are laid out, in bits."""

    kind: int
    flag: int
    coordinate: int
    component: int
    components: int

    def head(self, *, shares: bool) -> int:
        """Bits before the colours."""
        points = POINTS[self.kind][shares] if self.kind in POINTS else 1
        return self.flag + 2 * points * self.coordinate

    def corners(self, *, shares: bool) -> int:
        return COLOURS[shares] if self.kind in POINTS else 1

    def length(self, *, shares: bool) -> int:
        """Bytes of a record: each ends with a whole one."""
        bits = self.head(shares=shares) + self.corners(shares=shares) * self.components * self.component
        return (bits + 7) // 8


def mesh_of(described: Stream, kind: int, *, components: int) -> Mesh:
    """The mesh of a stream whose corners have so many components. Raises ``Malformed``."""
    layout = _Layout(
        kind=kind,
        flag=0 if kind == LATTICE else _width(described, "/BitsPerFlag", (2, 4, 8)),
        coordinate=_width(described, "/BitsPerCoordinate", (1, 2, 4, 8, 12, 16, 24, 32)),
        component=_width(described, "/BitsPerComponent", (1, 2, 4, 8, 12, 16)),
        components=components,
    )
    decode = pairs_of(described.get("/Decode"), count=2 + components)
    data = np.frombuffer(unpacked(described, most=MOST_BYTES), dtype=np.uint8)
    groups = tuple(_groups(data, layout, bounds=decode))
    return Mesh(groups=groups, components=components, places=decode[:2])


def _width(described: Stream, name: str, known: tuple[int, ...]) -> int:
    bits = whole_of(described.get(name), least=1, most=32)
    if bits not in known:
        raise Malformed("a mesh of no known width")
    return bits


def _groups(data: Bits, layout: _Layout, *, bounds: Numbers) -> Iterator[Group]:
    starts, shares = _starts(data, layout)
    for is_shared in (False, True):
        order = np.flatnonzero(shares == is_shared)
        if order.size:
            length = layout.length(shares=is_shared)
            lines = data[starts[order][:, None] + np.arange(length)]
            yield _group(np.unpackbits(lines, axis=1), layout, (order, is_shared), bounds=bounds)


def _group(bits: Bits, layout: _Layout, which: tuple[NDArray[np.int64], bool], *, bounds: Numbers) -> Group:
    order, is_shared = which
    head, corners = layout.head(shares=is_shared), layout.corners(shares=is_shared)
    width = corners * layout.components * layout.component
    told = bits[:, head : head + width].reshape(len(order), corners, layout.components, layout.component)
    places = bits[:, layout.flag : head].reshape(len(order), -1, 2, layout.coordinate)
    return Group(
        order=order,
        head=bits[:, :head],
        flags=_flags(bits[:, : layout.flag]),
        points=_decoded(places, bounds[:2]),
        corners=corners,
        colours=_decoded(told, bounds[2:]),
    )


def _flags(bits: Bits) -> Bits:
    """The lowest two bits of the flags; none for meshes that have no flags."""
    if not bits.shape[1]:
        return np.zeros(len(bits), dtype=np.uint8)
    flags: Bits = bits[:, -2] * np.uint8(2) + bits[:, -1]
    return flags


def _decoded(bits: Bits, bounds: Numbers) -> Numbers:
    """Numbers of the last axis as their bounds tell."""
    width = bits.shape[-1]
    raw = bits @ (2.0 ** np.arange(width - 1, -1, -1))
    low, high = bounds.T
    return np.asarray(low + raw * ((high - low) / (2.0**width - 1.0)), dtype=np.float64)


def _starts(data: Bits, layout: _Layout) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Where each record begins, and whether it shares an edge with the one before it. What is cut short is left out."""
    if layout.kind not in POINTS:
        length = layout.length(shares=False)
        count = data.size // length
        return np.arange(count) * length, np.zeros(count, dtype=np.bool_)
    starts, shares, at = [], [], 0
    lengths = (layout.length(shares=False), layout.length(shares=True))
    held = data.tobytes()
    while at < len(held):
        is_shared = bool((held[at] >> (8 - layout.flag)) & 3)
        if at + lengths[is_shared] > len(held):
            break
        starts.append(at)
        shares.append(is_shared)
        at += lengths[is_shared]
    return np.array(starts, dtype=np.int64), np.array(shares, dtype=np.bool_)
