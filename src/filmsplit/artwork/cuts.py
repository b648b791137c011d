"""Where in the picture the zones of the press fall, so that it can be cut there while it is read."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import ArrayLike

from filmsplit.artwork.placement import Placement, WorkStyle

Cuts = tuple[tuple[float, ...], tuple[float, ...]]
"""Places in mm from the top and from the left of the picture."""


def zone_cuts(placement: Placement, edges_mm: ArrayLike, *, picture_mm: tuple[float, float]) -> Cuts:
    """The zone edges (across the plate, from its operator's side) in a picture of ``picture_mm`` (down, across).

    Every copy of the picture has its own; what falls beside the picture is left out by the reader.
    """
    edges = np.asarray(edges_mm, dtype=np.float64)
    down, across = picture_mm
    lies = placement.turn.value % 180 != 0
    width = down if lies else across
    found: set[float] = set()
    for side, headlong in _sides(placement, width):
        from_side = edges - side
        found.update((width - from_side if headlong else from_side).tolist())
    # ``found`` counts across the turned picture; back through the turn, then through the mirror.
    if placement.turn.value in (90, 180):
        found = {width - each for each in found}
    if placement.mirrored and not lies:
        found = {width - each for each in found}
    kept = tuple(sorted(each for each in found if 0 < each < width))
    return (kept, ()) if lies else ((), kept)


def _sides(placement: Placement, width_mm: float) -> Iterator[tuple[float, bool]]:
    """The operator-side edge of every copy, and whether that copy stands on its head."""
    sheet, repeat = placement.sheet, placement.repeat
    first = placement.side_mm + (sheet.side_mm if sheet else 0.0)
    for column in range(repeat.times_across):
        side = first + column * repeat.step_across_mm
        yield side, False
        if sheet and placement.style is WorkStyle.WORK_AND_TURN:
            yield 2 * sheet.side_mm + sheet.width_mm - side - width_mm, False
        if placement.style is WorkStyle.WORK_AND_TUMBLE:
            yield side, True
