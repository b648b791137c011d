"""What colours are read for: the amounts of ink on the plates, or the tone of a soft mask."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from filmsplit.formats.pdf.cie import srgb_of_lab, srgb_of_xyz
from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.conversion import Conversion, to_srgb
from filmsplit.formats.pdf.inks import PROCESS, Inks
from filmsplit.formats.pdf.ledger import Ledger

BLACK = PROCESS.index("Black")
LUMINOSITY = np.array([0.3, 0.59, 0.11])
"""Of red, green and blue (ISO 32000-2, 10.4.2.2)."""


class Target(Protocol):
    """Each way of telling a colour, ``(n, components)``, to amounts ``(n, count)``."""

    @property
    def count(self) -> int: ...
    @property
    def process(self) -> frozenset[int]: ...
    def place(self, name: str) -> int | None: ...
    def gray(self, values: Numbers) -> Numbers: ...
    def cmyk(self, values: Numbers) -> Numbers: ...
    def rgb(self, values: Numbers, *, source: bytes = b"") -> Numbers: ...
    def lab(self, values: Numbers) -> Numbers: ...
    def xyz(self, values: Numbers) -> Numbers: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class InkTarget:
    """Amounts of ink, a column a plate."""

    inks: Inks
    ledger: Ledger
    conversion: Conversion

    @property
    def count(self) -> int:
        return self.inks.count

    @property
    def process(self) -> frozenset[int]:
        return self.inks.process

    def place(self, name: str) -> int | None:
        return self.inks.place(name)

    def gray(self, values: Numbers) -> Numbers:
        out = np.zeros((len(values), self.count))
        out[:, BLACK] = 1.0 - np.clip(values[:, 0], 0.0, 1.0)
        return out

    def cmyk(self, values: Numbers) -> Numbers:
        out = np.zeros((len(values), self.count))
        out[:, : len(PROCESS)] = np.clip(values, 0.0, 1.0)
        return out

    def rgb(self, values: Numbers, *, source: bytes = b"") -> Numbers:
        return self.cmyk(self.conversion.rgb(values, self.ledger, source=source))

    def lab(self, values: Numbers) -> Numbers:
        return self.cmyk(self.conversion.lab(values, self.ledger))

    def xyz(self, values: Numbers) -> Numbers:
        return self.cmyk(self.conversion.xyz(values, self.ledger))


@dataclass(frozen=True, slots=True, kw_only=True)
class ToneTarget:
    """One minus the luminosity, in one column (ISO 32000-2, 10.4.2 and 11.5.3)."""

    @property
    def count(self) -> int:
        return 1

    @property
    def process(self) -> frozenset[int]:
        return frozenset({0})

    def place(self, name: str) -> int | None:  # noqa: ARG002
        """No ink has a plate here: spots show what they are told to look like."""
        return None

    def gray(self, values: Numbers) -> Numbers:
        return 1.0 - np.clip(values[:, :1], 0.0, 1.0)

    def cmyk(self, values: Numbers) -> Numbers:
        inks = np.clip(values, 0.0, 1.0)
        tone: Numbers = np.minimum(1.0, inks[:, :3] @ LUMINOSITY + inks[:, 3])
        return tone[:, None]

    def rgb(self, values: Numbers, *, source: bytes = b"") -> Numbers:
        light = to_srgb(values, source) if source else np.clip(values, 0.0, 1.0)
        tone: Numbers = 1.0 - light @ LUMINOSITY
        return tone[:, None]

    def lab(self, values: Numbers) -> Numbers:
        return self.rgb(srgb_of_lab(values))

    def xyz(self, values: Numbers) -> Numbers:
        return self.rgb(srgb_of_xyz(values))
