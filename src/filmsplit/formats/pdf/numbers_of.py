"""Numbers and names out of objects of a PDF, checked: what is missing or of the wrong kind is malformed."""

from __future__ import annotations

from math import isfinite

import numpy as np
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name, Object, Stream

from filmsplit.formats.pdf.malformed import Malformed

LARGEST = 1e12
"""No number of a colour is larger (invented)."""


def number_of(thing: object) -> float:
    """A number. Raises ``Malformed``."""
    try:
        told = float(thing)  # type: ignore[arg-type]
    except (TypeError, ValueError, OverflowError) as error:
        raise Malformed("a number is needed") from error
    if not isfinite(told) or abs(told) > LARGEST:
        raise Malformed("a number out of all bounds")
    return told


def numbers_of(thing: object, *, least: int = 0, most: int = 1 << 16) -> NDArray[np.float64]:
    """So many numbers from an array. Raises ``Malformed``."""
    if not isinstance(thing, Array) or not least <= len(thing) <= most:
        raise Malformed(f"an array of {least} numbers or more is needed")
    return np.array([number_of(each) for each in thing], dtype=np.float64)


def pairs_of(thing: object, *, count: int | None = None) -> NDArray[np.float64]:
    """Lower and upper bounds, shape ``(count, 2)``. Raises ``Malformed``."""
    found = numbers_of(thing, least=0 if count is None else 2 * count)
    if count is not None:
        found = found[: 2 * count]
    if not found.size or found.size % 2:
        raise Malformed("bounds are needed in pairs")
    return found.reshape(-1, 2)


def whole_of(thing: object, *, least: int, most: int) -> int:
    """A whole number within bounds. Raises ``Malformed``."""
    told = number_of(thing)
    if told != int(told) or not least <= told <= most:
        raise Malformed(f"a whole number from {least} to {most} is needed")
    return int(told)


def dictionary_of(thing: object) -> Object:
    """A dictionary, that of a stream, too. Raises ``Malformed``."""
    if not isinstance(thing, (Dictionary, Stream)):
        raise Malformed("a dictionary is needed")
    return thing


def name_of(thing: object) -> str:
    """A name without its slash. Raises ``Malformed``."""
    if not isinstance(thing, Name):
        raise Malformed("a name is needed")
    try:
        return str(thing)[1:]
    except UnicodeDecodeError:
        return bytes(thing)[1:].decode("latin-1")


def items_of(thing: object, *, least: int = 0, most: int = 1 << 16) -> list[Object]:
    """The items of an array. Raises ``Malformed``."""
    if not isinstance(thing, Array) or not least <= len(thing) <= most:
        raise Malformed(f"an array of {least} items or more is needed")
    return list(thing)
