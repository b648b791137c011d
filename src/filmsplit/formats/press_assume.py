"""What stands in for an unknown value: a constant, a value by role, a neighbour's value, or a derived one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from filmsplit.formats.press_reading import Path
from filmsplit.press.rows import ByRole, Derived, Row, SameAs, Surroundings


@dataclass(frozen=True, slots=True)
class Context:
    """Where in the press a record stands: its path, the role that assumptions go by, and the values about it."""

    path: Path = ()
    role: str = ""
    around: Mapping[str, Any] = field(default_factory=dict)
    press: Mapping[str, Any] = field(default_factory=dict)

    def at(self, name: str) -> Path:
        return (*self.path, name)

    def by_role_of(self, values: Mapping[str, Any]) -> Context:
        """The same place, with the role that a record with ``values`` says it has."""
        return replace(self, role=values["role"].value) if "role" in values else self

    def inside(self, name: str, values: Mapping[str, Any]) -> Context:
        """The context of a record or list in the field ``name`` of a record that has ``values``."""
        role = name if self.path and self.path[-1] == "cylinders" else self.role
        return Context(self.at(name), role, values, self.press if self.path else values)


class Unresolved(Exception):
    """The value an assumption rests on is itself wrong; that has been said elsewhere."""


def resolve(row: Row, values: Mapping[str, Any], context: Context) -> Any:
    """The value assumed for ``row`` in a record that has ``values`` so far."""
    try:
        return _resolve(row.assumed, values, context)
    except (KeyError, AttributeError) as error:
        raise Unresolved from error


def _resolve(rule: Any, values: Mapping[str, Any], context: Context) -> Any:
    if isinstance(rule, ByRole):
        return _resolve(rule.values.get(context.role, rule.otherwise), values, context)
    if isinstance(rule, SameAs):
        # A leading stroke means a field of the press as a whole.
        return context.press[rule.field[1:]] if rule.field.startswith("/") else values[rule.field]
    if isinstance(rule, Derived):
        return rule.compute(Surroundings(record=values, around=context.around, press=context.press))
    return rule


def waits_for_others(row: Row, role: str) -> bool:
    """Whether what is assumed rests on other fields of the same record."""
    rule = row.assumed
    if isinstance(rule, ByRole):
        rule = rule.values.get(role, rule.otherwise)
    return isinstance(rule, (SameAs, Derived))
