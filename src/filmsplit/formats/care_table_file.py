"""Read a table of roller limits, arrival tolerances and intervals (TOML). Every bad row is told at once."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Mapping
from enum import Enum
from typing import Any

from filmsplit.condition.limits import ArrivalRow, CareTable, IntervalRow, LimitRow
from filmsplit.condition.words import ArrivalTest, Basis, EventKind, Measure
from filmsplit.messages import Place, Problem, Refusal
from filmsplit.press.words import Role

Row = LimitRow | ArrivalRow | IntervalRow

_WORDS: Mapping[str, type[Enum]] = {
    "measure": Measure,
    "test": ArrivalTest,
    "task": EventKind,
    "basis": Basis,
    "role": Role,
}
_NUMBERS = frozenset({"watch", "act", "tolerance", "days", "impressions"})
_KINDS: Mapping[str, tuple[frozenset[str], frozenset[str]]] = {
    "limit": (frozenset({"measure", "watch", "act", "basis", "source"}), frozenset({"press", "roller", "role"})),
    "arrival": (frozenset({"test", "tolerance", "basis", "source"}), frozenset({"role"})),
    "interval": (frozenset({"task", "basis", "source"}), frozenset({"days", "impressions", "press"})),
}
"""What a row must say, and what it may say besides."""


def loads_care_table(text: str, *, name: str) -> CareTable:
    """The table in ``text``; ``name`` is what problems call the file. :class:`Refusal` names every bad row."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Refusal(Problem("care-table-not-toml", {"file": name, "reason": str(error)})) from error
    problems = [Problem("care-table-unknown", {"where": name, "what": kind}) for kind in tables if kind not in _KINDS]
    made: dict[str, list[Any]] = {kind: [] for kind in _KINDS}
    for kind in _KINDS:
        for number, row in enumerate(tables.get(kind, []), start=1):
            where = f"{name}, {kind} {number}"
            found = _problems(kind, row, where=where)
            problems += found
            if not found:
                made[kind].append(_MAKERS[kind](_read(row)))
    if problems:
        raise Refusal([problem.at(Place(name, 1, 1)) for problem in problems])
    return CareTable(limits=tuple(made["limit"]), arrivals=tuple(made["arrival"]), intervals=tuple(made["interval"]))


def _problems(kind: str, row: Mapping[str, Any], *, where: str) -> list[Problem]:
    must, may = _KINDS[kind]
    missing = [Problem("care-table-missing", {"where": where, "what": key}) for key in sorted(must - set(row))]
    unknown = [Problem("care-table-unknown", {"where": where, "what": key}) for key in sorted(set(row) - must - may)]
    wrong = [
        Problem("care-table-not-a-value", {"where": where, "what": key, "given": value, "may_be": _may_be(key)})
        for key, value in row.items()
        if key in must | may and not _is_value(key, value)
    ]
    return missing + unknown + wrong or list(_order_problems(row, where=where))


def _order_problems(row: Mapping[str, Any], *, where: str) -> list[Problem]:
    """A watch that comes after its act would never be seen."""
    if "watch" not in row:
        return []
    falling = row["measure"] == Measure.STRIPE_NARROW.value
    wrong = row["watch"] < row["act"] if falling else row["watch"] > row["act"]
    return [Problem("care-table-watch-after-act", {"where": where})] if wrong else []


def _is_value(key: str, value: object) -> bool:
    if key in _WORDS:
        return value in [each.value for each in _WORDS[key]]
    if key in _NUMBERS:
        return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value > 0
    return isinstance(value, str)


def _may_be(key: str) -> str:
    if key in _WORDS:
        return ", ".join(str(each.value) for each in _WORDS[key])
    return "> 0" if key in _NUMBERS else '"…"'


def _read(row: Mapping[str, Any]) -> dict[str, Any]:
    return {key: _WORDS[key](value) if key in _WORDS else value for key, value in row.items()}


def _interval(row: dict[str, Any]) -> IntervalRow:
    return IntervalRow(**{"days": None, "impressions": None} | row)


_MAKERS: Mapping[str, Callable[[dict[str, Any]], Row]] = {
    "limit": lambda row: LimitRow(**row),
    "arrival": lambda row: ArrivalRow(**row),
    "interval": _interval,
}
