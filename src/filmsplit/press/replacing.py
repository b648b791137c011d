"""The same press with one value changed, and with everything assumed from that value changed along with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from filmsplit.press.press import Press
from filmsplit.press.rows import ByRole, Derived, Row, SameAs, Surroundings, row_of

Path = tuple[str, ...]


def value_at(press: Press, path: Path) -> Any:
    """The value at ``path`` (list items by their id); ``KeyError`` if there is none."""
    return _chain(press, path)[-1]


def row_at(press: Press, path: Path) -> Row:
    """The :class:`Row` of the field at ``path``; ``KeyError`` if it is no field of a record."""
    holder = _chain(press, path[:-1])[-1]
    for field in fields(holder):
        if field.name == path[-1]:
            return row_of(field)
    raise KeyError(path[-1])


def with_value(press: Press, path: Path, value: Any) -> Press:
    """The press with ``value`` at ``path`` and nothing else changed."""
    changed: Press = _with(press, path, value)
    return changed


@dataclass(frozen=True, slots=True)
class Follower:
    """An assumed value that rests on other values of the press, and the rule that makes it from them."""

    path: Path
    rule: SameAs | Derived


def followers_of(press: Press) -> tuple[Follower, ...]:
    """The assumptions of a press that rest on other values, in the order in which they were made."""
    rules = ((assumption.path, _rule(press, assumption.path)) for assumption in press.assumptions)
    return tuple(Follower(path, rule) for path, rule in rules if isinstance(rule, (SameAs, Derived)))


def with_assumed(press: Press, path: Path, value: Any, *, followers: Iterable[Follower] | None = None) -> Press:
    """The press as if ``value`` had been assumed at ``path``: what is assumed from it follows.

    ``followers`` saves finding them again where many values of one press are tried.
    """
    changed = with_value(press, path, value)
    for follower in followers_of(press) if followers is None else followers:
        if follower.path != path:
            derived = _resolved(changed, follower)
            if derived != value_at(changed, follower.path):
                changed = with_value(changed, follower.path, derived)
    return changed


def _with(holder: Any, path: Path, value: Any) -> Any:
    """``holder`` with ``value`` at ``path`` below it."""
    if not path:
        return value
    if isinstance(holder, tuple):
        return tuple(_with(item, path[1:], value) if item.id == path[0] else item for item in holder)
    return replace(holder, **{path[0]: _with(_below(holder, path[0]), path[1:], value)})


def _chain(press: Press, path: Path) -> list[Any]:
    """The press, and what each name of ``path`` leads to in turn."""
    chain: list[Any] = [press]
    for name in path:
        chain.append(_below(chain[-1], name))
    return chain


def _below(holder: Any, name: str) -> Any:
    if isinstance(holder, tuple):
        for item in holder:
            if item.id == name:
                return item
    elif is_dataclass(holder) and any(field.name == name for field in fields(holder)):
        return getattr(holder, name)
    raise KeyError(name)


def _rule(press: Press, path: Path) -> Any:
    """What the row assumes at ``path``, the role of its part taken into account."""
    assumed = row_at(press, path).assumed
    if isinstance(assumed, ByRole):
        return assumed.values.get(_role(press, path), assumed.otherwise)
    return assumed


def _role(press: Press, path: Path) -> str:
    """What assumptions go by at ``path``: the role of the roller, or which cylinder it is."""
    if path[2:3] == ("cylinders",):
        return path[3]
    return press.unit(path[1]).roller(path[3]).role.value if path[2:3] == ("rollers",) else ""


def _resolved(press: Press, follower: Follower) -> Any:
    records = [link for link in _chain(press, follower.path[:-1]) if not isinstance(link, tuple)]
    record, rule = records[-1], follower.rule
    if isinstance(rule, SameAs):
        # A leading stroke means a field of the press as a whole.
        return getattr(press, rule.field[1:]) if rule.field.startswith("/") else getattr(record, rule.field)
    around = records[-2] if len(records) > 1 else press
    return rule.compute(Surroundings(record=_values(record), around=_values(around), press=_values(press)))


def _values(record: Any) -> Mapping[str, Any]:
    return {field.name: getattr(record, field.name) for field in fields(record)}
