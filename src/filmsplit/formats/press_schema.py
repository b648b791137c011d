"""The JSON Schema of press files, written from the rows: for editors that complete and check while typing."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from filmsplit.formats.press_fields import KIND_LINE, KIND_VALUE, NONE, UNKNOWN, FieldShape, Kind, shapes
from filmsplit.formats.press_reader import MOST_RECORDS
from filmsplit.formats.press_rules import ID_PATTERN, RESERVED_IDS
from filmsplit.formats.scalars import MAX_TEXT, YES_NO
from filmsplit.messages import label
from filmsplit.press import Press

DRAFT = "https://json-schema.org/draft/2020-12/schema"
FILE_NAME = "press.schema.json"

Schema = dict[str, Any]
_UNKNOWN: Schema = {"const": UNKNOWN}


def schema() -> Schema:
    """The schema of a press file, draft 2020-12."""
    records: dict[str, Schema] = {}
    _collect(Press, records)
    press = records.pop(Press.__name__)
    press["properties"] = {KIND_LINE: {"const": KIND_VALUE}, **press["properties"]}
    press["required"] = [KIND_LINE, *press["required"]]
    return {"$schema": DRAFT, "title": label("press-file.schema-title"), **press, "$defs": records}


def write_schema(folder: Path) -> Path:
    """Write the schema beside press files in ``folder``, for the line that points editors to it."""
    from filmsplit.formats.replace_file import replace_file  # noqa: PLC0415  (only writing needs it)

    path = folder / FILE_NAME
    replace_file(path, json.dumps(schema(), indent=1, ensure_ascii=False) + "\n")
    return path


def _collect(cls: type, records: dict[str, Schema]) -> None:
    """The schema of a record class and of all it is made of."""
    if cls.__name__ in records:
        return
    records[cls.__name__] = {}
    table = shapes(cls)
    for shape in table.values():
        if shape.kind in (Kind.RECORD, Kind.RECORDS):
            _collect(shape.of, records)
    record: Schema = {
        "type": "object",
        "properties": {name: _field(shape) for name, shape in table.items()},
        "required": [name for name, shape in table.items() if shape.row.required],
        "additionalProperties": False,
    }
    conditions = [_only(shape) for shape in table.values() if shape.row.only is not None]
    records[cls.__name__] = record | ({"allOf": conditions} if conditions else {})


def _field(shape: FieldShape) -> Schema:
    value = _VALUES[shape.kind](shape)
    choices = [value] if shape.row.required else [value, _UNKNOWN]
    if shape.optional and shape.kind is Kind.RECORD:
        choices.append({"const": NONE})
    field = {"description": _description(shape)}
    return field | (value if len(choices) == 1 and "$ref" not in value else {"anyOf": choices})


def _description(shape: FieldShape) -> str:
    row = shape.row
    return f"{row.help} [{row.unit}]" if row.unit else row.help


def _number(shape: FieldShape) -> Schema:
    return {"type": "number"} | _range(shape)


def _whole(shape: FieldShape) -> Schema:
    return {"type": "integer"} | _range(shape)


def _range(shape: FieldShape) -> Schema:
    bounds = {"minimum": shape.row.low, "maximum": shape.row.high}
    return {name: bound for name, bound in bounds.items() if bound is not None}


def _yes_no(_shape: FieldShape) -> Schema:
    # Editors read yes and no as texts, true and false as what they are.
    return {"enum": [True, False, *YES_NO]}


def _text(shape: FieldShape) -> Schema:
    if shape.name == "id":
        # A roller may be called 12; editors then see a number.
        return {
            "anyOf": [
                {"type": "string", "pattern": f"^{ID_PATTERN}$", "not": {"enum": sorted(RESERVED_IDS)}},
                {"type": "integer", "minimum": 0},
            ]
        }
    return {"anyOf": [{"type": "string", "maxLength": MAX_TEXT}, {"type": ["number", "boolean"]}]}


def _word(shape: FieldShape) -> Schema:
    return {"enum": list(shape.words)}


def _numbers(shape: FieldShape) -> Schema:
    return {"type": "array", "minItems": 1, "items": _number(shape)}


def _record(shape: FieldShape) -> Schema:
    return {"$ref": f"#/$defs/{shape.of.__name__}"}


def _records(shape: FieldShape) -> Schema:
    return {"type": "array", "maxItems": MOST_RECORDS[shape.name], "items": _record(shape)}


_VALUES: Mapping[Kind, Callable[[FieldShape], Schema]] = {
    Kind.NUMBER: _number,
    Kind.WHOLE: _whole,
    Kind.YES_NO: _yes_no,
    Kind.TEXT: _text,
    Kind.WORD: _word,
    Kind.NUMBERS: _numbers,
    Kind.RECORD: _record,
    Kind.RECORDS: _records,
}


def _only(shape: FieldShape) -> Schema:
    """A field that has no meaning beside another word of its neighbour may only be unknown there."""
    only = shape.row.only
    assert only is not None
    words = [word.value for word in only.values]
    return {
        "if": {"required": [only.field], "properties": {only.field: {"not": {"enum": [*words, UNKNOWN]}}}},
        "then": {"properties": {shape.name: _UNKNOWN}},
    }
