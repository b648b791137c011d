"""Find the discs of a scale card in a picture: dark round patches with one to six round holes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.stripe_picture.card import DISC_RADIUS_MM, HOLE_RADIUS_MM

Grey = NDArray[np.float32]
Mask = NDArray[np.bool_]

LEAST_PX, MOST_PX = 22, 110
"""Size of a disc at the level of the picture it is looked for; larger ones are found at a coarser level."""
WINDOW_PX = 161
"""What a dot is compared with to be called dark: wide enough to hold more paper than disc."""
LEAST_STEP = 12.0
"""Steps of 255 by which ink has to be darker than its surroundings."""
SHORTEST_LEVEL_PX = 150
MOST_DISCS = 60
_HOLE_SHARE = (HOLE_RADIUS_MM / DISC_RADIUS_MM) ** 2


@dataclass(frozen=True, slots=True)
class FoundDisc:
    """A disc in the picture: its middle (column, row) and how many holes it has."""

    holes: int
    x_px: float
    y_px: float
    radius_px: float


def find_discs(grey: Grey) -> Iterator[list[FoundDisc]]:
    """The discs of ever finer levels of a picture, the coarsest first; each list adds to the one before."""
    levels = [(1, grey)]
    while min(levels[-1][1].shape) >= 2 * SHORTEST_LEVEL_PX:
        shrink, last = levels[-1]
        levels.append((2 * shrink, _halved(last)))
    found: list[FoundDisc] = []
    for shrink, level in reversed(levels):
        for disc in _discs_of(level, shrink=shrink):
            if all(np.hypot(disc.x_px - o.x_px, disc.y_px - o.y_px) > o.radius_px for o in found):
                found.append(disc)
        yield found[:MOST_DISCS]


def _halved(grey: Grey) -> Grey:
    rows, columns = (size // 2 for size in grey.shape)
    pairs = grey[: 2 * rows, : 2 * columns].reshape(rows, 2, columns, 2)
    halved: Grey = pairs.mean(axis=(1, 3), dtype=np.float32)
    return halved


def _discs_of(grey: Grey, *, shrink: int) -> Iterator[FoundDisc]:
    from scipy import ndimage  # noqa: PLC0415  # heavy

    smooth = ndimage.uniform_filter(grey, 3)
    around = ndimage.uniform_filter(grey, WINDOW_PX, mode="nearest")
    patches, _ = ndimage.label(smooth < around - LEAST_STEP)
    for number, box in enumerate(ndimage.find_objects(patches), start=1):
        small, large = sorted(side.stop - side.start for side in box)
        if small >= LEAST_PX and large <= min(MOST_PX, 2 * small):
            disc = _disc_in(patches[box] == number, smooth[box], at=(box[1].start, box[0].start))
            if disc:
                half = (shrink - 1) / 2
                x, y = disc.x_px * shrink + half, disc.y_px * shrink + half
                yield FoundDisc(disc.holes, x, y, disc.radius_px * shrink)


def _disc_in(patch: Mask, grey: Grey, *, at: tuple[int, int]) -> FoundDisc | None:
    """The disc a dark patch is, if it is one: an ellipse whose holes are all as large as ours."""
    from scipy import ndimage  # noqa: PLC0415  # heavy

    whole = ndimage.binary_fill_holes(patch)
    area = int(whole.sum())
    rows, columns = np.nonzero(whole)
    spread = np.cov(np.stack([columns, rows]))
    ellipse = 4 * np.pi * np.sqrt(max(np.linalg.det(spread), 0.0))
    if not 0.94 < area / max(ellipse, 1e-9) < 1.06:
        return None
    holes, _ = ndimage.label(whole & ~patch)
    sizes = np.bincount(holes.ravel())[1:]
    sizes = sizes[sizes > 0.1 * _HOLE_SHARE * area]
    if not 1 <= len(sizes) <= 6 or sizes.max() > 2.2 * _HOLE_SHARE * area or sizes.min() < 0.3 * _HOLE_SHARE * area:
        return None
    x, y = _middle(whole, grey)
    return FoundDisc(len(sizes), x + at[0], y + at[1], float(np.sqrt(area / np.pi)))


def _middle(whole: Mask, grey: Grey) -> tuple[float, float]:
    """Centre of gravity, where dots at the rim count by how dark they are."""
    from scipy import ndimage  # noqa: PLC0415  # heavy

    inner = ndimage.binary_erosion(whole, iterations=2)
    light, dark = float(np.percentile(grey, 97)), float(np.percentile(grey[inner], 25))
    weight = np.clip((light - grey) / max(light - dark, 1.0), 0.0, 1.0)
    weight = np.where(inner, 1.0, np.where(whole, weight, 0.0))
    rows, columns = np.indices(whole.shape)
    total = weight.sum()
    return float((weight * columns).sum() / total), float((weight * rows).sum() / total)
