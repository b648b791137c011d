"""The film of a sheet as a field of cells: what is image, the extremes, and coarser means for drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Place:
    """A film (um) and where it lies: mm from the lead edge and from the operator's side of the field."""

    um: float
    along_mm: float
    across_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """Films [rows from the lead edge, columns from the operator's side]; ``image`` tells the cells that count."""

    film_um: Array
    image: NDArray[np.bool_]
    length_mm: float
    width_mm: float

    @property
    def empty(self) -> bool:
        """Whether nothing is printed."""
        return not self.image.any()

    @property
    def cell_mm(self) -> tuple[float, float]:
        """Mean size of a cell: along, across."""
        rows, columns = self.film_um.shape
        return self.length_mm / rows, self.width_mm / columns

    @property
    def median_um(self) -> float:
        """Half of the image cells carry less, half more."""
        return float(np.median(self.film_um[self.image]))

    @property
    def largest(self) -> Place:
        """The cell with the most film."""
        return self._place(int(np.argmax(np.where(self.image, self.film_um, -np.inf))))

    @property
    def smallest(self) -> Place:
        """The cell with the least film."""
        return self._place(int(np.argmin(np.where(self.image, self.film_um, np.inf))))

    def _place(self, number: int) -> Place:
        row, column = divmod(number, self.film_um.shape[1])
        along, across = self.cell_mm
        return Place(float(self.film_um[row, column]), (row + 0.5) * along, (column + 0.5) * across)


def field_of(film_um: Array, *, coverage: Array | None, size_mm: tuple[float, float]) -> Field:
    """The field, checked; without ``coverage`` a cell with film is image."""
    film = np.asarray(film_um, dtype=np.float64)
    if film.ndim != 2 or film.size == 0:
        raise ValueError("a sheet needs rows and columns of films")
    if not all(math.isfinite(size) and size > 0 for size in size_mm):
        raise ValueError("a sheet needs a length and a width above zero")
    if coverage is not None and np.shape(coverage) != film.shape:
        raise ValueError("coverage and films need the same rows and columns")
    image = np.asarray(coverage) > 0 if coverage is not None else ~(film == 0)
    if not np.isfinite(film[image]).all() or (film[image] < 0).any():
        raise ValueError("every film on the image must be a number, zero or more")
    return Field(np.where(image, film, 0.0), image, *size_mm)


def coarser(field: Field, most: int) -> Field:
    """The field in at most ``most`` cells along its longer side, each the mean of the image cells it holds."""
    rows, columns = field.film_um.shape
    shrink = max(rows, columns) / most
    if shrink <= 1:
        return field
    sizes = [min(size, max(1, round(size / shrink))) for size in (rows, columns)]
    film, count = _sums(np.where(field.image, field.film_um, 0.0), sizes), _sums(field.image.astype(np.float64), sizes)
    image = count > 0
    return Field(np.divide(film, count, out=np.zeros_like(film), where=image), image, field.length_mm, field.width_mm)


def _sums(cells: Array, sizes: list[int]) -> Array:
    """Sums over blocks as even as whole cells allow."""
    rows, columns = ((np.arange(size) * whole) // size for size, whole in zip(sizes, cells.shape, strict=True))
    return np.asarray(np.add.reduceat(np.add.reduceat(cells, rows, axis=0), columns, axis=1))
