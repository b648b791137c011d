"""A picture as the reading needs it: dots of three colours, told in light where amounts count."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Dots = NDArray[np.uint8]


def _light_table() -> NDArray[np.float32]:
    """Share of full light of each value 0 to 255 (IEC 61966-2-1, sRGB)."""
    told = np.arange(256) / 255
    return np.where(told <= 0.04045, told / 12.92, ((told + 0.055) / 1.055) ** 2.4).astype(np.float32)


LIGHT: Final = _light_table()


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """``dots`` [rows, columns, 3], upright, sRGB."""

    dots: Dots
    name: str

    def grey(self) -> NDArray[np.float32]:
        """Mean of the three colours, 0 to 255, as the eye grades it."""
        grey: NDArray[np.float32] = self.dots.mean(axis=2, dtype=np.float32)
        return grey

    def light_at(self, places: Array) -> NDArray[np.float32]:
        """Light [..., 3] at places [..., 2] (column, row), between dots by straight lines; NaN outside the picture."""
        from scipy import ndimage  # noqa: PLC0415  # heavy

        rows, columns = self.dots.shape[:2]
        flat = places.reshape(-1, 2)
        inside = (flat[:, 0] >= 0) & (flat[:, 0] <= columns - 1) & (flat[:, 1] >= 0) & (flat[:, 1] <= rows - 1)
        light = np.full((len(flat), 3), np.nan, dtype=np.float32)
        if inside.any():
            left, top = np.floor(flat[inside].min(axis=0)).astype(int)
            right, bottom = np.ceil(flat[inside].max(axis=0)).astype(int) + 1
            part = LIGHT[self.dots[top:bottom, left:right]]
            at = (flat[inside, 1] - top, flat[inside, 0] - left)
            for colour in range(3):
                light[inside, colour] = ndimage.map_coordinates(part[..., colour], at, order=1, mode="nearest")
        return light.reshape(*places.shape[:-1], 3)
