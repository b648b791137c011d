"""One row per field of the press description: unit, range, help, and what is assumed while it is unknown.

The frozen dataclasses of this package carry a :class:`Row` on every field. Reading, writing, the JSON Schema and
the reference page are all walks over these rows, so a field is described once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

COMMON_PRACTICE = "common practice"


@dataclass(frozen=True, slots=True)
class ByRole:
    """A value to assume that depends on what the part is for.

    Keys are values of ``Role`` for a roller, and ``plate``, ``blanket`` or ``impression`` for a cylinder. A value may
    itself be a rule (``Derived``).
    """

    values: Mapping[str, Any]
    otherwise: Any


@dataclass(frozen=True, slots=True)
class SameAs:
    """Assume the value of a sibling field of the same record."""

    field: str


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What is known around a field whose value is to be derived: its record, the record about it, the press."""

    record: Mapping[str, Any]
    around: Mapping[str, Any]
    press: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Derived:
    """Assume what ``compute`` makes of the values around."""

    compute: Callable[[Surroundings], Any]


@dataclass(frozen=True, slots=True)
class Only:
    """The field means something only while its sibling ``field`` has one of these values."""

    field: str
    values: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """What one field means.

    ``low``/``high`` bound a sensible value (a typing slip is refused, not clamped); ``assumed`` is used while the
    field is ``unknown`` or left out, with ``source`` saying where that value comes from; ``spread`` is how far the
    assumed value may be out (one standard deviation, same unit), used to rank unknowns; ``counts_for`` names the
    uses the field matters to (``marks``, ``setting``, ``ink``, ``drawing``, ``spares``, ``lifting``, ``packing``);
    ``required`` marks the few fields for which nothing sensible can be assumed; ``only`` says when the field has a
    meaning at all.
    """

    help: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    assumed: Any = None
    source: str = COMMON_PRACTICE
    spread: float | None = None
    counts_for: tuple[str, ...] = ()
    required: bool = False
    only: Only | None = None


def row(help: str, **options: Any) -> Any:
    """A dataclass field that carries a :class:`Row`. Every field is given by name when a record is built."""
    return field(metadata={"row": Row(help=help, **options)})


def row_of(field_: Any) -> Row:
    """The :class:`Row` of a ``dataclasses.Field``."""
    return field_.metadata["row"]  # type: ignore[no-any-return]
