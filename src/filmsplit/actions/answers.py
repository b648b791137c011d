"""An answer as plain data, for `--json`: a versioned kind, units in the names, nothing but JSON."""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping
from enum import Enum

from filmsplit.messages import Problem


def to_json(kind: str, **parts: object) -> str:
    """The parts of an answer under the kind that says how to read them, such as ``press-facts 1``."""
    return json.dumps({"filmsplit": kind} | plain(parts), indent=2, ensure_ascii=False)  # type: ignore[operator]


def plain(value: object) -> object:
    """Records as objects, words as themselves, problems with their texts; numbers JSON cannot hold become null."""
    if isinstance(value, Problem):
        return _problem(value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {each.name: plain(getattr(value, each.name)) for each in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple, set, frozenset)):
        return [plain(item) for item in value]
    return _single(value)


def _single(value: object) -> object:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    return value if value is None or isinstance(value, (bool, int, str)) else str(value)


def _problem(problem: Problem) -> dict[str, object]:
    return {
        "slug": problem.slug,
        "severity": problem.severity.value,
        "what": problem.what,
        "remedy": problem.remedy,
        "path": list(problem.path),
        "place": str(problem.place) if problem.place else None,
    }
