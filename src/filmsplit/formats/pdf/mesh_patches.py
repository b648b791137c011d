"""Patches of meshes (ISO 32000-2, 8.7.4.5.7 and 8) cut into small triangles, which the drawing library paints truer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray
from pikepdf import Array, Stream

from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.mesh_bits import GREY_TOP, HALF_GREY, Mesh

SHARED = {1: (3, 4, 5, 6), 2: (6, 7, 8, 9), 3: (9, 10, 11, 0)}
"""Points of the patch before, by flag, that are the first four of the next (table 84)."""
SHARED_COLOURS = {1: (1, 2), 2: (2, 3), 3: (3, 0)}
PLACES = ((0, 0), (0, 1), (0, 2), (0, 3), (1, 3), (2, 3), (3, 3), (3, 2), (3, 1), (3, 0), (2, 0), (1, 0))
INNER = ((1, 1), (1, 2), (2, 2), (2, 1))
"""Where the points of a patch, in the order of its data, stand in the net of its control points."""
MOST_CORNERS = 60_000
FEWEST, MOST = 4, 16
"""Pieces each way into which a patch is cut."""
PLACE_TOP = 2**32 - 1
ASIDE = 2e-5
"""Of the extent of a mesh by which corners are put aside: the drawing library leaves out rows of dots of a triangle
that go through one of its corners exactly, as those of even cuts do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strips:
    """Corners of triangles: ``flags`` say how each joins those before it, ``points`` are places, ``values`` colours."""

    flags: NDArray[np.uint8]
    points: Numbers
    values: Numbers
    places: Numbers

    def rewritten(self, made: Stream, grey: Numbers) -> None:
        """Give ``made`` these triangles, with one grey for each corner."""
        kind = np.dtype([("flag", "u1"), ("point", ">u4", 2), ("grey", ">u2")])
        records = np.zeros(len(self.flags), dtype=kind)
        low, high = self.places.T
        share = (self.points - low) / np.where(high == low, 1.0, high - low)
        records["flag"] = self.flags
        records["point"] = np.rint(np.clip(share + ASIDE, 0.0, 1.0) * PLACE_TOP)
        records["grey"] = np.rint(GREY_TOP * (grey + HALF_GREY) / (1.0 + HALF_GREY))
        made.write(records.tobytes())
        made["/ShadingType"], made["/BitsPerFlag"], made["/BitsPerCoordinate"] = 4, 8, 32
        made["/BitsPerComponent"] = 16
        made["/Decode"] = Array([*(float(each) for each in self.places.ravel()), 0, 1.0 + HALF_GREY])


def strips_of(mesh: Mesh) -> Strips:
    """The patches of a mesh as strips of triangles."""
    nets, colours = _patches(mesh)
    count = int(np.clip(sqrt(MOST_CORNERS / max(1, len(nets))), FEWEST, MOST))
    along = np.linspace(0.0, 1.0, count + 1)
    weights = np.stack([(1 - along) ** 3, 3 * along * (1 - along) ** 2, 3 * along**2 * (1 - along), along**3], axis=1)
    points = np.einsum("ai,bj,kijc->kabc", weights, weights, nets, optimize=True)
    ends = np.stack([1 - along, along], axis=1)
    values = np.einsum("ai,bj,kijc->kabc", ends, ends, colours, optimize=True)
    flags = np.ones((len(nets), count, 2 * (count + 1)), dtype=np.uint8)
    flags[:, :, :3] = 0
    return Strips(flags=flags.ravel(), points=_zigzag(points), values=_zigzag(values), places=mesh.places)


def _zigzag(net: Numbers) -> Numbers:
    """Rows of a net by twos, a corner of each by turns."""
    pairs = np.stack([net[:, :-1], net[:, 1:]], axis=3)
    return pairs.reshape(-1, net.shape[-1])


def _patches(mesh: Mesh) -> tuple[Numbers, Numbers]:
    """Control points ``(patches, 4, 4, 2)`` and colours of corners ``(patches, 2, 2, components)``."""
    told = {
        int(place): (int(flag), points, colours)
        for group in mesh.groups
        for place, flag, points, colours in zip(group.order, group.flags, group.points, group.colours, strict=True)
    }
    outlines: list[Numbers] = []
    corners: list[Numbers] = []
    for place in sorted(told):
        flag, points, colours = told[place]
        if flag:
            if not outlines:
                continue
            points = np.concatenate([outlines[-1][list(SHARED[flag])], points])
            colours = np.concatenate([corners[-1][list(SHARED_COLOURS[flag])], colours])
        outlines.append(points)
        corners.append(colours)
    if not outlines:
        return np.zeros((0, 4, 4, 2)), np.zeros((0, 2, 2, mesh.components))
    # Corners in the data go round: (0, 0), (0, 1), (1, 1), (1, 0).
    return _net(outlines), np.array(corners)[:, [[0, 1], [3, 2]]]


def _net(outlines: Sequence[Numbers]) -> Numbers:
    points = np.array(outlines)
    net = np.zeros((len(points), 4, 4, 2))
    for at, (row, column) in enumerate(PLACES if points.shape[1] == len(PLACES) else PLACES + INNER):
        net[:, row, column] = points[:, at]
    if points.shape[1] == len(PLACES):
        for row, column in INNER:
            net[:, row, column] = _inner(net, 3 * (row // 2), 3 * (column // 2))
    return net


def _inner(net: Numbers, row: int, column: int) -> Numbers:
    """The inner control point next to a corner that makes a tensor patch of a Coons patch (8.7.4.5.8)."""
    near_row, near_column = (1 if each == 0 else 2 for each in (row, column))
    far_row, far_column = 3 - row, 3 - column
    near = net[:, row, near_column] + net[:, near_row, column]
    beside = net[:, row, far_column] + net[:, far_row, column]
    across = net[:, far_row, near_column] + net[:, near_row, far_column]
    inner: Numbers = (-4 * net[:, row, column] + 6 * near - 2 * beside + 3 * across - net[:, far_row, far_column]) / 9
    return inner
