"""The JSON Schema of an answer, written from its typed records, so that the two cannot differ."""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Iterator, Mapping
from enum import Enum
from typing import Any, Union, get_args, get_origin, get_type_hints

from filmsplit.messages import Problem, Severity

DRAFT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]
_PLAIN: Mapping[object, Schema] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer"},
    float: {"type": "number"},
    type(None): {"type": "null"},
}
_PROBLEM: Schema = {
    "type": "object",
    "description": "A message: its slug stands on the page of messages.",
    "properties": {
        "slug": {"type": "string"},
        "severity": {"enum": [each.value for each in Severity]},
        "what": {"type": "string", "description": "what happened"},
        "remedy": {"type": "string", "description": "what to do"},
        "path": {"type": "array", "items": {"type": "string"}},
        "place": {"type": ["string", "null"]},
    },
    "required": ["slug", "severity", "what", "remedy", "path", "place"],
}


def answer_schema(kind: str, record: type) -> Schema:
    """The schema of what ``to_json(kind, ...)`` prints of a record, draft 2020-12. More fields are allowed."""
    records = {each.__name__: _record(each) for each in records_of(record)}
    whole = records.pop(record.__name__)
    whole["properties"] = {"filmsplit": {"const": kind}, **whole["properties"]}
    whole["required"] = ["filmsplit", *whole["required"]]
    return {"$schema": DRAFT, "title": kind, **whole, "$defs": {"Problem": _PROBLEM, **records}}


def records_of(record: type) -> Iterator[type]:
    """A record and every record in it, each once, outermost first."""
    found = [record]
    for each in found:
        hints = get_type_hints(each).values()
        found += [part for hint in hints for part in _parts(hint) if _is_record(part) and part not in found]
    return iter(dict.fromkeys(found))


def _parts(hint: Any) -> Iterator[Any]:
    yield hint
    for part in get_args(hint):
        yield from _parts(part)


def _is_record(hint: Any) -> bool:
    return dataclasses.is_dataclass(hint) and hint is not Problem


def _record(record: type) -> Schema:
    hints = get_type_hints(record)
    fields = dataclasses.fields(record)
    return {
        "type": "object",
        "description": first_line(record),
        "properties": {each.name: _field(each, hints[each.name]) for each in fields},
        "required": [each.name for each in fields],
    }


def first_line(record: type) -> str:
    """What a record says it is, as text."""
    return (record.__doc__ or "").partition("\n")[0].replace("``", "`")


def _field(field: dataclasses.Field[Any], hint: Any) -> Schema:
    text, unit = field.metadata.get("told", ""), field.metadata.get("unit", "")
    return {**_value(hint), "description": f"{text} [{unit}]" if unit else text}


def _value(hint: Any) -> Schema:
    """The schema of a type."""
    if hint in _PLAIN:
        return dict(_PLAIN[hint])
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return {"$ref": f"#/$defs/{hint.__name__}"}
    if isinstance(hint, type) and issubclass(hint, Enum):
        return {"enum": [each.value for each in hint]}
    arguments = get_args(hint)
    if get_origin(hint) in (Union, types.UnionType):
        return {"anyOf": [_value(each) for each in arguments]}
    if get_origin(hint) is tuple and arguments[-1] is Ellipsis:
        return {"type": "array", "items": _value(arguments[0])}
    if get_origin(hint) is dict:
        return {"type": "object", "additionalProperties": _value(arguments[1])}
    raise TypeError(f"no schema for {hint!r}")
