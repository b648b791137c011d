"""Colour spaces that name no inks but the process inks (ISO 32000-2, 8.6.4 and 8.6.5), and tables of colours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from filmsplit.formats.pdf.cie import adapted, companded
from filmsplit.formats.pdf.colour import Bounds, Numbers, Space
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.target import Target

UNIT = (0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gray:
    """DeviceGray, and profiles of one component: black ink. It is a process space, so it addresses all process inks
    (11.7.4.3, table 149)."""

    target: Target
    components: int = 1
    initial: tuple[float, ...] = (0.0,)
    is_device_cmyk: bool = False

    @property
    def inks(self) -> frozenset[int]:
        return self.target.process

    def amounts(self, values: Numbers) -> Numbers:
        return self.target.gray(values)

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return (UNIT,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cmyk:
    """DeviceCMYK, and profiles of four components, which are taken for it."""

    target: Target
    is_device_cmyk: bool
    components: int = 4
    initial: tuple[float, ...] = (0.0, 0.0, 0.0, 1.0)

    @property
    def inks(self) -> frozenset[int]:
        return self.target.process

    def amounts(self, values: Numbers) -> Numbers:
        return self.target.cmyk(values)

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return (UNIT,) * 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Rgb:
    """DeviceRGB, and profiles of three components that are RGB."""

    target: Target
    profile: bytes = b""
    components: int = 3
    initial: tuple[float, ...] = (0.0, 0.0, 0.0)
    is_device_cmyk: bool = False

    @property
    def inks(self) -> frozenset[int]:
        return self.target.process

    def amounts(self, values: Numbers) -> Numbers:
        return self.target.rgb(values, source=self.profile)

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return (UNIT,) * 3


@dataclass(frozen=True, slots=True, kw_only=True)
class CalGray:
    """Grey of a stated steepness (8.6.5.2), brought to the steps of sRGB, which DeviceGray is taken to have."""

    target: Target
    gamma: float
    components: int = 1
    initial: tuple[float, ...] = (0.0,)
    is_device_cmyk: bool = False

    @property
    def inks(self) -> frozenset[int]:
        return self.target.process

    def amounts(self, values: Numbers) -> Numbers:
        return self.target.gray(companded(np.clip(values, 0.0, 1.0) ** self.gamma))

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return (UNIT,)


@dataclass(frozen=True, slots=True, kw_only=True)
class CalRgb:
    """RGB of stated primaries and steepness (8.6.5.3). The rows of ``matrix`` are XYZ of the three components."""

    target: Target
    gamma: Numbers
    matrix: Numbers
    white: Numbers
    components: int = 3
    initial: tuple[float, ...] = (0.0, 0.0, 0.0)
    is_device_cmyk: bool = False

    @property
    def inks(self) -> frozenset[int]:
        return self.target.process

    def amounts(self, values: Numbers) -> Numbers:
        light = np.clip(values, 0.0, 1.0) ** self.gamma
        return self.target.xyz(adapted(light @ self.matrix, self.white))

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return (UNIT,) * 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Lab:
    """CIE Lab (8.6.5.4), of any white: lightness and hues are relative to it. ``range`` is of a and b."""

    target: Target
    range: Numbers
    components: int = 3
    is_device_cmyk: bool = False

    @property
    def initial(self) -> tuple[float, ...]:
        return (0.0, *(float(np.clip(0.0, low, high)) for low, high in self.range))

    @property
    def inks(self) -> frozenset[int]:
        return self.target.process

    def amounts(self, values: Numbers) -> Numbers:
        low, high = np.array(self.bounds(8)).T
        return self.target.lab(np.clip(values, low, high))

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return ((0.0, 100.0), *((float(low), float(high)) for low, high in self.range))


@dataclass(frozen=True, slots=True, kw_only=True)
class Indexed:
    """A table of colours (8.6.6.3); ``table`` has the amounts of each."""

    base: Space
    table: Numbers
    components: int = 1
    initial: tuple[float, ...] = (0.0,)
    is_device_cmyk: bool = False

    @property
    def inks(self) -> frozenset[int]:
        return self.base.inks

    def amounts(self, values: Numbers) -> Numbers:
        # "rounded to the nearest integer", and to the ends of the table
        at = np.clip(np.floor(values[:, 0] + 0.5), 0, len(self.table) - 1)
        return self.table[at.astype(np.int64)]

    def bounds(self, bits: int) -> Bounds:
        return ((0.0, 2.0**bits - 1.0),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Patterns (8.6.6.2); ``under`` is the space of those without colours of their own."""

    target: Target
    under: Space | None = None
    is_device_cmyk: bool = False

    @property
    def components(self) -> int:
        return 0 if self.under is None else self.under.components

    @property
    def initial(self) -> tuple[float, ...]:
        return ()

    @property
    def inks(self) -> frozenset[int]:
        return frozenset() if self.under is None else self.under.inks

    def amounts(self, values: Numbers) -> Numbers:
        if self.under is None:
            return np.zeros((len(values), self.target.count))
        return self.under.amounts(values)

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        raise Malformed("a picture whose colours are patterns")
