"""Colour spaces that name inks: Separation and DeviceN (ISO 32000-2, 8.6.6.4 and 8.6.6.5)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pikepdf import Array, Dictionary, Name, Object, Stream

from filmsplit.formats.pdf.colour import Bounds, Numbers, Space
from filmsplit.formats.pdf.functions import Function
from filmsplit.formats.pdf.inks import PROCESS
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import items_of, name_of
from filmsplit.formats.pdf.space_kinds import UNIT
from filmsplit.formats.pdf.target import Target

ALL, NONE = "All", "None"
MOST_COLORANTS = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """Inks by name. ``places`` has the plate of each component; ``None`` for a component that marks nothing."""

    target: Target
    places: tuple[int | None, ...]
    is_device_cmyk: bool = False

    @property
    def components(self) -> int:
        return len(self.places)

    @property
    def initial(self) -> tuple[float, ...]:
        return (1.0,) * self.components

    @property
    def inks(self) -> frozenset[int]:
        return frozenset(each for each in self.places if each is not None)

    def amounts(self, values: Numbers) -> Numbers:
        out = np.zeros((len(values), self.target.count))
        for column, place in enumerate(self.places):
            if place is not None:
                out[:, place] = np.clip(values[:, column], 0.0, 1.0)
        return out

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return (UNIT,) * self.components


@dataclass(frozen=True, slots=True, kw_only=True)
class Everywhere:
    """The same amount on every plate: register marks."""

    target: Target
    components: int = 1
    initial: tuple[float, ...] = (1.0,)
    is_device_cmyk: bool = False

    @property
    def inks(self) -> frozenset[int]:
        return frozenset(range(self.target.count))

    def amounts(self, values: Numbers) -> Numbers:
        return np.repeat(np.clip(values[:, :1], 0.0, 1.0), self.target.count, axis=1)

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return (UNIT,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternate:
    """Inks without a plate here, as they are told to look in another space."""

    tint: Function
    under: Space
    components: int
    is_device_cmyk: bool = False

    @property
    def initial(self) -> tuple[float, ...]:
        return (1.0,) * self.components

    @property
    def inks(self) -> frozenset[int]:
        return self.under.inks

    def amounts(self, values: Numbers) -> Numbers:
        return self.under.amounts(self.tint(values))

    def bounds(self, bits: int) -> Bounds:  # noqa: ARG002
        return (UNIT,) * self.components


def colorants_of(described: Object) -> tuple[str, ...]:
    """The names a Separation or DeviceN space gives to its components; those which stand for process inks by their
    place in the space's process dictionary have the names of those. Raises ``Malformed``."""
    parts = items_of(described, least=4)
    if parts[0] == Name.Separation:
        return (name_of(parts[1]),)
    names = tuple(name_of(each) for each in items_of(parts[1], least=1, most=MOST_COLORANTS))
    if ALL in names:
        raise Malformed("a space of several inks, one of them all inks")
    known = _process_names(parts[4]) if len(parts) > 4 else {}
    return tuple(known.get(each, each) for each in names)


def _process_names(attributes: Object) -> dict[str, str]:
    """What a DeviceN space calls the four process inks (table 72), where it tells so."""
    process = attributes.get("/Process") if isinstance(attributes, Dictionary) else None
    if not isinstance(process, Dictionary) or not _has_four(process.get("/ColorSpace")):
        return {}
    told = process.get("/Components")
    if not isinstance(told, Array) or len(told) != len(PROCESS):
        return {}
    return dict(zip((name_of(each) for each in told), PROCESS, strict=True))


def _has_four(space: Object | None) -> bool:
    if isinstance(space, Array) and len(space) == 2 and isinstance(space[1], Stream):
        return bool(space[0] == Name.ICCBased and space[1].get("/N") == 4)
    return bool(space == Name.DeviceCMYK)
