"""Lengths and temperatures in a text, as the person who reads it wants them.

Texts of the catalogue are written for mm and °C, and everything below the fronts works in them. A front that knows that
its reader wants others says so once (:func:`read_as`); each text is then filled in with what a quantity is in those.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator, Mapping
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A number and its ``unit``, both as a text has them. ``apart``: a difference; ``rough``: nobody measured it."""

    number: str
    unit: str
    apart: bool = False
    rough: bool = False


class Reader(Protocol):
    """How one person reads quantities: numbers and units in, numbers and units out."""

    def number(self, said: Quantity, /) -> str: ...

    def unit(self, written: str, /) -> str: ...

    def scale(self, unit: str, /) -> float: ...


READER: ContextVar[Reader | None] = ContextVar("reader", default=None)
"""Who reads what is written now; ``None``: someone who reads it as it is written."""

UNITS = ("mm", "°C")
UNIT_BLANKS = {"{length_unit}": "mm", "{temperature_unit}": "°C"}
"""Blanks for the unit alone, where the numbers stand elsewhere: headings of tables, titles of axes, names of fields."""
_PART = r"(?:\{\w+(?::[^{}]*)?\}|(?<![\w.])[0-9]+(?:\.[0-9]+)?(?![\w.]))"
_JOINED = r"(?: to | and | x | × | ± | ?/ ?|–)"
_QUANTITY = re.compile(rf"(?P<numbers>{_PART}(?:{_JOINED}{_PART})*) (?P<unit>mm|°C)(?![\w/²³·])")
_PIECE = re.compile(rf"(?P<before>{_JOINED}?)(?P<number>{_PART})")
_NUMBER = re.compile(r"(?<![\w.])[-+]?[0-9]+(?:\.[0-9]+)?(?:e[-+]?[0-9]+)?(?!\w)")
_ONLY_NUMBERS = re.compile(r"[-+0-9.e\s/,±×x–]+")
_APART = frozenset({"sigma", "tolerance"})
"""Blanks of a text with a blank ``{unit}`` that hold a difference."""


@contextlib.contextmanager
def read_as(reader: Reader | None) -> Iterator[None]:
    """Within, texts are filled in for ``reader``."""
    token = READER.set(reader)
    try:
        yield
    finally:
        READER.reset(token)


def filled(text: str, values: Mapping[str, object]) -> str:
    """``text`` with its blanks filled in, quantities as whoever reads now wants them."""
    reader = READER.get()
    for blank, unit in UNIT_BLANKS.items():
        text = text.replace(blank, unit_read(unit))
    if reader is None:
        return text.format_map(values) if values else text
    if values.get("unit") in UNITS:
        return text.format_map(_all_read(values, reader))
    parts, done = [], 0
    for match in _QUANTITY.finditer(text):
        parts += [_plain(text[done : match.start()], values), _read(match, values, reader=reader)]
        done = match.end()
    return "".join([*parts, _plain(text[done:], values)])


def numbers_read(text: str, unit: str = "mm") -> str:
    """A text of numbers of ``unit``, with those numbers as whoever reads now wants them; for tables and figures."""
    reader = READER.get()
    return text if reader is None or unit not in UNITS else _numbers(text, unit, reader=reader)


def unit_read(unit: str = "mm") -> str:
    """What whoever reads now has instead of ``unit``."""
    reader = READER.get()
    return unit if reader is None else reader.unit(unit)


def scale_read(unit: str = "mm") -> float:
    """How many of that there are in one ``unit``, for lengths: axes have ticks where they are round to a reader."""
    reader = READER.get()
    return 1.0 if reader is None else reader.scale(unit)


def _plain(text: str, values: Mapping[str, object]) -> str:
    return text.format_map(values) if values else text


def _read(match: re.Match[str], values: Mapping[str, object], *, reader: Reader) -> str:
    """The numbers of one unit and the unit; as it stands where a blank holds more than numbers."""
    unit, pieces = match["unit"], [(piece["before"], piece["number"]) for piece in _PIECE.finditer(match["numbers"])]
    shown = [(before, part, _plain(part, values)) for before, part in pieces]
    if not all(_ONLY_NUMBERS.fullmatch(text) for _, _, text in shown):
        return _plain(match[0], values)
    words = [
        before + _numbers(text, unit, reader=reader, apart="±" in before, rough="{" not in part)
        for before, part, text in shown
    ]
    return f"{''.join(words)} {reader.unit(unit)}"


def _numbers(text: str, unit: str, *, reader: Reader, apart: bool = False, rough: bool = False) -> str:
    return _NUMBER.sub(lambda each: reader.number(Quantity(number=each[0], unit=unit, apart=apart, rough=rough)), text)


def _all_read(values: Mapping[str, object], reader: Reader) -> dict[str, object]:
    """Every value in the reader's unit: such a text is about one quantity and its limits."""
    unit = str(values["unit"])
    found = {
        key: _numbers(str(value), unit, reader=reader, apart=key in _APART) if _is_number(value) else value
        for key, value in values.items()
    }
    return found | {"unit": reader.unit(unit)}


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) or bool(_ONLY_NUMBERS.fullmatch(str(value)))
