"""One row per field of the press description: unit, range, help, and what is assumed while it is unknown.

The frozen dataclasses of this package carry a :class:`Row` on every field. Reading, writing, the JSON Schema and
the reference page are all walks over these rows, so a field is described once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

COMMON_PRACTICE = "common practice"


@dataclass(frozen=True, slots=True)
class ByRole:
    """A value to assume that depends on what the roller is for (keys: values of ``Role``)."""

    values: Mapping[str, Any]
    otherwise: Any


@dataclass(frozen=True, slots=True)
class SameAs:
    """Assume the value of a sibling field of the same record."""

    field: str


@dataclass(frozen=True, slots=True)
class Row:
    """What one field means.

    ``low``/``high`` bound a sensible value (a typing slip is refused, not clamped); ``assumed`` is used while the
    field is ``unknown`` or left out, with ``source`` saying where that value comes from; ``spread`` is how far the
    assumed value may be out (one standard deviation, same unit), used to rank unknowns; ``counts_for`` names the
    uses the field matters to (``marks``, ``setting``, ``ink``, ``drawing``, ``spares``).
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


def row(help: str, **options: Any) -> Any:
    """A dataclass field that carries a :class:`Row`. Every field is given by name when a record is built."""
    return field(metadata={"row": Row(help=help, **options)})


def row_of(field_: Any) -> Row:
    """The :class:`Row` of a ``dataclasses.Field``."""
    return field_.metadata["row"]  # type: ignore[no-any-return]
