"""A field of a sheet of paper, with what it means and its unit beside it."""

from __future__ import annotations

from dataclasses import MISSING, field
from typing import Any


def printed(text: str, unit: str = "", *, default: Any = MISSING) -> Any:
    """A field of a sheet: what it holds and its unit. Without ``default`` it must be told."""
    metadata = {"printed": text, "unit": unit}
    return field(metadata=metadata) if default is MISSING else field(default=default, metadata=metadata)
