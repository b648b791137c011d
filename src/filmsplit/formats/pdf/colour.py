"""What the walk through a page asks of colour: how much of each ink a colour of a space is."""

from __future__ import annotations

from typing import Protocol

import numpy as np
import pikepdf
from numpy.typing import NDArray

from filmsplit.formats.pdf.inks import Inks
from filmsplit.formats.pdf.ledger import Ledger

Numbers = NDArray[np.float64]
Bounds = tuple[tuple[float, float], ...]


class Space(Protocol):
    """A colour space. ``inks`` are the places of the plates it addresses; ``is_device_cmyk`` says that its components
    are the process inks themselves, so that overprint mode 1 applies (ISO 32000-2, 11.7.4.5)."""

    @property
    def components(self) -> int: ...
    @property
    def initial(self) -> tuple[float, ...]: ...
    @property
    def inks(self) -> frozenset[int]: ...
    @property
    def is_device_cmyk(self) -> bool: ...
    def amounts(self, values: Numbers) -> Numbers:
        """``(n, components)`` to ``(n, inks)``, 0 to 1."""
        ...

    def bounds(self, bits: int) -> Bounds:
        """By component what the lowest and the highest sample of a picture of so many bits stand for, if nothing else
        is told (ISO 32000-2, table 88)."""
        ...


class Colours(Protocol):
    """The spaces of a page, for its inks or (soft masks) for its tone alone."""

    @property
    def inks(self) -> Inks: ...
    @property
    def ledger(self) -> Ledger: ...
    @property
    def count(self) -> int:
        """Planes that are written: inks, or one of tone."""
        ...

    def space_of(self, described: pikepdf.Object, resources: pikepdf.Object) -> Space:
        """Raises ``Malformed``."""
        ...

    def noting(self, ledger: Ledger) -> Colours:
        """The same spaces, read anew, whose notes go to another ledger."""
        ...


class Greys(Protocol):
    """A picture or a shading in grey for each plane: 1 less the amount of ink. ``inks`` are the plates it addresses."""

    @property
    def inks(self) -> frozenset[int]: ...
    def grey(self, plane: int) -> pikepdf.Object | None:
        """That of one plane; ``None`` where it is white all over."""
        ...

    def white(self) -> pikepdf.Object:
        """A white one of the same shape."""
        ...
