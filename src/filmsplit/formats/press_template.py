"""A new press file to be filled in: one unit, every field a beginner needs, each with its meaning behind it."""

from __future__ import annotations

from collections.abc import Mapping

from filmsplit.formats.press_fields import KIND_LINE, KIND_VALUE, UNKNOWN, FieldShape, Kind, shapes
from filmsplit.formats.press_file import describe
from filmsplit.formats.press_values import as_written
from filmsplit.formats.press_writer import modeline
from filmsplit.messages import label
from filmsplit.press import Cylinder, Cylinders, Impression, Press
from filmsplit.press.words import TurnSense

_OF_PRESS = ("id", "name", "note", "face_mm", "sheet_width_mm", "sheet_length_mm", "hand_wheel")
_OF_CYLINDER = ("body_diameter_mm", "gap_mm", "cover_mm", "packing_mm", "gear_teeth", "gear_module_mm")
_COMMENT_COLUMN = 44
FIRST_UNIT = "A"


def new_press(
    id: str,
    name: str = "",
    *,
    plate_turns: TurnSense,
    schema: str | None = None,
    values: Mapping[str, str] | None = None,
) -> str:
    """The text of a new press file. ``values`` fills fields of the press as a whole, as in ``{"face_mm": "340"}``."""
    given = {"id": id, "name": name, "note": "", **(values or {})}
    lines = [f"{KIND_LINE}: {KIND_VALUE}"]
    lines += [modeline(schema)] if schema is not None else []
    lines += [f"# {line}" for line in label("press-file.template").splitlines()]
    lines += [_line(0, shape, given.get(shape.name, UNKNOWN)) for shape in map(shapes(Press).__getitem__, _OF_PRESS)]
    lines += ["units:", f"  - id: {FIRST_UNIT}", "    cylinders:"]
    lines.append(_line(6, shapes(Cylinders)["plate_turns"], plate_turns.value))
    for cylinder in ("plate", "blanket"):
        lines.append(f"      {cylinder}:")
        lines += [_line(8, shapes(Cylinder)[field], UNKNOWN) for field in _OF_CYLINDER]
    lines += ["      impression:", _line(8, shapes(Impression)["diameter_mm"], UNKNOWN)]
    lines += [f"    # {line}" for line in label("press-file.template-parts").splitlines()]
    lines += ["    rollers: []", "    contacts: []"]
    text = "\n".join(lines) + "\n"
    describe(text, name=id)
    return text


def _line(indent: int, shape: FieldShape, given: str) -> str:
    """One field with its help, unit and range behind it."""
    written = as_written(shape, given) if given or shape.kind is not Kind.TEXT else '""'
    field = f"{' ' * indent}{shape.name}: {written}"
    row = shape.row
    span = f" ({row.low:g} – {row.high:g})" if row.low is not None and row.high is not None else ""
    words = f": {', '.join(shape.words)}" if shape.words else ""
    unit = f", {row.unit}" if row.unit else ""
    return f"{field:<{_COMMENT_COLUMN}}# {row.help}{words}{unit}{span}"
