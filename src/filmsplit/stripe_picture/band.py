"""Find the dark band below a card's edge: in which colour, where it runs, whether it is whole and alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from filmsplit.messages import Problem, Refusal
from filmsplit.numerics.homography import Homography
from filmsplit.stripe_picture.card import CARD_HEIGHT_MM, CARD_WIDTH_MM, REACH_MM
from filmsplit.stripe_picture.photo import Array, Photo

ALONG_MM, ACROSS_MM = 0.25, 0.1
"""Steps at which the ground below the card is looked at."""
BLOCK = 10
"""Steps along that are looked at together, 2.5 mm: islands and specks drop out."""
TOP_MM = CARD_HEIGHT_MM + 0.7
"""Below the line along which the card is cut."""
LEAST_WIDTH_MM, MOST_WIDTH_MM = 0.8, 14.0
DARK, BRIGHT = 0.55, 0.75
"""Share of the paper's light below which ground is dark, above which it is paper."""
MARGIN_MM = 1.5
"""Paper that has to be seen on each side of the band."""
GAP_MM = 0.8
"""A narrower gap in a dark stretch is an island."""
STRAIGHT_MM = 1.5
"""How far the band may leave its straight line."""
STEEPEST = 0.18
"""10 degrees: more is no stripe along the card."""
LEAST_LENGTH_MM = 50.0
MEAN = 3
"""Number of the mean of the three colours, after red, green, blue."""
PREFER_MEAN = 1.15
"""The mean has less noise; one colour must show the ink this much better to be taken instead."""


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """A dark band, in mm on the card: its middle is ``offset + slope * x + bend * (x - centre)**2`` at x.

    ``low_mm`` and ``high_mm`` are its rough edges off that middle at ``x_mm``; ``colour`` is 0 to 2, or 3 for the mean.
    """

    colour: int
    x_mm: Array
    middle_mm: Array
    width_mm: float

    @property
    def line(self) -> Array:
        """Coefficients of the parabola through the middles, highest power first."""
        return np.polyfit(self.x_mm, self.middle_mm, 2)


@dataclass(frozen=True, slots=True)
class _Run:
    """A dark stretch across, within one block."""

    block: int
    low_mm: float
    high_mm: float
    whole: bool

    @property
    def middle_mm(self) -> float:
        return (self.low_mm + self.high_mm) / 2


def colour_of(light: NDArray[np.floating], colour: int) -> NDArray[np.floating]:
    """One colour of light [..., 3], or the mean."""
    return light.mean(axis=-1) if colour == MEAN else light[..., colour]


def find_band(photo: Photo, to_px: Homography) -> Band:
    """The stripe below the card. :class:`Refusal` where there is none, or two, or only part of one."""
    x = np.arange(0.0, CARD_WIDTH_MM, ALONG_MM)
    y = np.arange(TOP_MM, CARD_HEIGHT_MM + REACH_MM, ACROSS_MM)
    places = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1)
    light = photo.light_at(to_px(places))
    colour = _clearest(light)
    blocks = colour_of(light, colour).reshape(-1, BLOCK, len(y))
    with np.errstate(invalid="ignore"):
        seen = np.median(blocks, axis=1)
    middles = x.reshape(-1, BLOCK).mean(axis=1)
    runs = [run for block, row in enumerate(seen) for run in _runs(block, row, y=y)]
    whole = [run for run in runs if run.whole]
    best = _straightest(whole, middles)
    if len(best) * BLOCK * ALONG_MM < LEAST_LENGTH_MM:
        raise Refusal(_why_none(runs, best, blocks=len(middles)))
    second = _straightest([run for run in whole if run not in best], middles)
    if len(second) > len(best) / 2:
        raise Refusal(Problem("stripe-picture-two-stripes"))
    width = float(np.median([run.high_mm - run.low_mm for run in best]))
    own = np.array([run.block for run in best])
    return Band(colour, middles[own], np.array([run.middle_mm for run in best]), width)


def _why_none(runs: list[_Run], best: list[_Run], *, blocks: int) -> Problem:
    if best and len(best) > blocks / 10:
        values = {"found_mm": len(best) * BLOCK * ALONG_MM, "least_mm": LEAST_LENGTH_MM}
        return Problem("stripe-picture-too-short", values)
    if len({run.block for run in runs if not run.whole}) > blocks / 3:
        return Problem("stripe-picture-cut-off", {"reach_mm": REACH_MM})
    return Problem("stripe-picture-no-stripe", {"reach_mm": REACH_MM})


def _clearest(light: NDArray[np.floating]) -> int:
    """The colour in which the darkest ground differs most from the lightest."""
    gains = [1.0, 1.0, 1.0, PREFER_MEAN]
    return int(np.argmax([gain * _contrast(colour_of(light, colour)) for colour, gain in enumerate(gains)]))


def _contrast(light: NDArray[np.floating]) -> float:
    known = light[np.isfinite(light)]
    if known.size == 0:
        return 0.0
    dark, bright = np.percentile(known, (4, 85))
    return float((bright - dark) / max(bright, 1e-6))


def _runs(block: int, row: NDArray[np.floating], *, y: Array) -> Iterator[_Run]:
    """The dark stretches of one block; ``whole`` where paper is seen on both sides."""
    from scipy import ndimage  # noqa: PLC0415  # heavy

    shade = _shade(row)
    dark = ndimage.binary_closing(shade < DARK, iterations=round(GAP_MM / ACROSS_MM / 2)) | (shade < DARK)
    ends = np.flatnonzero(np.diff(np.concatenate([[False], dark, [False]]).astype(int)))
    margin = round(MARGIN_MM / ACROSS_MM)
    ramp = margin // 2
    for first, last in zip(ends[::2], ends[1::2], strict=True):
        width = (last - first) * ACROSS_MM
        if width >= LEAST_WIDTH_MM:
            before, after = shade[max(0, first - ramp - margin) : max(0, first - ramp)], shade[last + ramp :][:margin]
            bounded = all(len(side) == margin and np.median(side) > BRIGHT for side in (before, after))
            whole = bounded and width <= MOST_WIDTH_MM
            yield _Run(block, float(y[first]), float(y[last - 1] + ACROSS_MM), whole=whole)


def _shade(row: NDArray[np.floating]) -> NDArray[np.floating]:
    """Light over that of the paper nearby: the less bright of the two sides of a band, where light is uneven."""
    from scipy import ndimage  # noqa: PLC0415  # heavy

    seen = np.nan_to_num(row, nan=0.0)
    reach = round((MOST_WIDTH_MM + 2 * MARGIN_MM) / ACROSS_MM)
    bright = ndimage.maximum_filter1d(ndimage.median_filter(seen, 9, mode="nearest"), reach, mode="nearest")
    paper = ndimage.minimum_filter1d(bright, reach, mode="constant", cval=np.inf)
    shade: NDArray[np.floating] = seen / np.maximum(paper, 1e-6)
    return shade


def _straightest(runs: list[_Run], x: Array) -> list[_Run]:
    """The runs along the straight line that most blocks have a run on, one to a block."""
    if len(runs) < 2:
        return []
    at = x[[run.block for run in runs]]
    middle = np.array([run.middle_mm for run in runs])
    best: NDArray[np.intp] = np.array([], dtype=np.intp)
    for first in range(len(runs)):
        apart = at - at[first]
        far = np.flatnonzero(apart > 10.0)
        slopes = (middle[far] - middle[first]) / apart[far]
        slopes = slopes[np.abs(slopes) < STEEPEST]
        off = np.abs(middle - middle[first] - slopes[:, None] * apart)
        counts = (off < STRAIGHT_MM).sum(axis=1)
        if counts.size and counts.max() > len(best):
            best = np.flatnonzero(off[int(np.argmax(counts))] < STRAIGHT_MM)
    kept = {runs[number].block: runs[number] for number in best}
    return [kept[block] for block in sorted(kept)]
