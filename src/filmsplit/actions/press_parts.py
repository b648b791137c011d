"""The parts of a press as forms: which fields a part has, what is written in them, and what a filled form changes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum

from filmsplit.formats.press_fields import NONE, UNKNOWN, FieldShape, Kind, shapes
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import CYLINDER_IDS, Contact, Cylinders, Fountain, Press, Roller

Path = tuple[str, ...]
Values = Mapping[Path, str]
COVERED, BARE = UNKNOWN, NONE
MOST_ZONES = 120
_ZONES = re.compile(r"(\d{1,3})\s*[x×]\s*(\d+(?:\.\d+)?)")


class PartKind(Enum):
    """What can be described in a form of its own."""

    PRESS = "press"
    CYLINDERS = "cylinders"
    FOUNTAIN = "fountain"
    ROLLER = "roller"
    CONTACT = "contact"
    NEW_ROLLER = "new-roller"
    NEW_CONTACT = "new-contact"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of a press; ``id`` only for a roller and a contact."""

    kind: PartKind
    unit: str
    id: str = ""

    @property
    def path(self) -> Path:
        """Where it stands in the press file."""
        unit = ("units", self.unit)
        return {
            PartKind.PRESS: (),
            PartKind.CYLINDERS: (*unit, "cylinders"),
            PartKind.FOUNTAIN: (*unit, "fountain"),
            PartKind.ROLLER: (*unit, "rollers", self.id),
            PartKind.NEW_ROLLER: (*unit, "rollers", self.id),
            PartKind.CONTACT: (*unit, "contacts", self.id),
            PartKind.NEW_CONTACT: (*unit, "contacts", self.id),
        }[self.kind]


_DRESSED = ("body_diameter_mm", "undercut_mm", "gap_mm", "cover_mm", "packing_mm", "gear_teeth", "gear_module_mm")
_ROLLER = (
    *("id", "name", "role", "purpose", "system", "diameter_mm", "centre.x_mm", "centre.y_mm"),
    *("cover", "cover.material", "cover.thickness_mm", "cover.hardness_shore_a"),
    *("drive.kind", "drive.teeth", "drive.turns_per_plate_turn"),
    *("motion.kind", "motion.stroke_mm", "motion.cycle_rev"),
)
_CONTACT = ("kind", "speed_ratio", "slip_direction", "throws_off", "stripe.target_mm")
FIELDS: Mapping[PartKind, tuple[type, tuple[str, ...]]] = {
    PartKind.PRESS: (Press, ("name", "note", "face_mm", "sheet_width_mm", "sheet_length_mm", "hand_wheel")),
    PartKind.CYLINDERS: (
        Cylinders,
        (
            "plate_turns",
            *(f"plate.{each}" for each in _DRESSED),
            *(f"blanket.{each}" for each in _DRESSED),
            "impression.diameter_mm",
        ),
    ),
    PartKind.FOUNTAIN: (
        Fountain,
        (
            *("roller", "zone_widths_mm", "first_zone_mm", "blade"),
            *("keys.kind", "keys.lowest", "keys.highest", "keys.film_um_per_division"),
            *("sweep.kind", "sweep.lowest", "sweep.highest", "sweep.mm_per_division"),
        ),
    ),
    PartKind.ROLLER: (Roller, _ROLLER),
    PartKind.NEW_ROLLER: (Roller, _ROLLER),
    PartKind.CONTACT: (Contact, _CONTACT),
    PartKind.NEW_CONTACT: (Contact, ("a", "b", *_CONTACT)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FormField:
    """A field as it is asked for. ``choices`` are values with their words; empty where it is typed."""

    name: str
    help: str
    unit: str
    span: str
    number: bool
    choices: tuple[tuple[str, str], ...]
    value: str
    problems: tuple[Problem, ...] = ()


def form_of(
    part: Part, values: Values, *, sent: Mapping[str, str] | None = None, problems: tuple[Problem, ...] = ()
) -> tuple[tuple[FormField, ...], tuple[Problem, ...]]:
    """The form of a part, filled with what is written or was sent; and the problems of none of its fields."""
    cls, names = FIELDS[part.kind]
    found, placed = [], set[int]()
    for name in names:
        shape = _shape(cls, name)
        here = [number for number, each in enumerate(problems) if _is_about(each, part, name=name, names=names)]
        placed.update(here)
        typed = None if sent is None else sent.get(name)
        found.append(
            FormField(
                name=name,
                help=_help(name, shape),
                unit=shape.row.unit,
                span=_span(shape),
                number=shape.kind in (Kind.NUMBER, Kind.WHOLE),
                choices=_choices(part, name, shape=shape, values=values),
                value=_shown(values, part, name) if typed is None else typed,
                problems=tuple(problems[number] for number in here),
            )
        )
    return tuple(found), tuple(each for number, each in enumerate(problems) if number not in placed)


def members(values: Values, unit: str) -> tuple[str, ...]:
    """The ids of the rollers of a unit as written, in their order."""
    return tuple(
        value for path, value in values.items() if path[:3] == ("units", unit, "rollers") and path[4:] == ("id",)
    )


def contacts(values: Values, unit: str) -> tuple[str, ...]:
    """The ids of the contacts of a unit as written, in their order."""
    start = ("units", unit, "contacts")
    return tuple(path[3] for path in values if path[:3] == start and path[4:] == ("a",))


def changed(part: Part, values: Values, sent: Mapping[str, str]) -> dict[str, str]:
    """What a filled form changes, by the names of its fields. What was left as it is written is not among it."""
    cls, names = FIELDS[part.kind]
    found = {}
    for name in names:
        given = sent.get(name)
        is_told = given is not None and part.kind is PartKind.NEW_ROLLER and name == "cover"
        if given is None or (given == _shown(values, part, name) and not is_told):
            continue
        shape = _shape(cls, name)
        found[name] = given if given or shape.kind is Kind.TEXT else UNKNOWN
        if shape.kind is Kind.NUMBERS:
            found[name] = zones_written(found[name])
    if sent.get("cover") == BARE and any(found[each] != UNKNOWN for each in found if each.startswith("cover.")):
        raise Refusal(Problem("press-bare-with-cover", path=(*part.path, "cover")))
    return _agreed(found, {".".join(path[len(part.path) :]) for path in values if path[: len(part.path)] == part.path})


def zones_written(text: str) -> str:
    """``12x30`` is twelve zones of 30 mm."""

    def row(found: re.Match[str]) -> str:
        return " ".join([found[2]] * int(found[1])) if int(found[1]) <= MOST_ZONES else found[0]

    return _ZONES.sub(row, text)


def _agreed(found: dict[str, str], written: set[str]) -> dict[str, str]:
    """Parts that stand and fall as one: a centre with both its figures, a cover with what it is made of."""
    if found.get("centre.x_mm") == found.get("centre.y_mm") == UNKNOWN:
        del found["centre.x_mm"], found["centre.y_mm"]
        found["centre"] = UNKNOWN
    cover = found.get("cover")
    inner = [name for name in found if name.startswith("cover.")]
    if cover == BARE:
        found = {name: value for name, value in found.items() if name not in inner}  # they go with it
    elif cover is not None and (
        any(found[name] != UNKNOWN for name in inner) or any("cover." in each for each in written)
    ):
        del found["cover"]
    return found


def _shape(cls: type, name: str) -> FieldShape:
    *steps, last = name.split(".")
    for step in steps:
        cls = shapes(cls)[step].of
    return shapes(cls)[last]


def _shown(values: Values, part: Part, name: str) -> str:
    """What is written, an empty text where nothing is known."""
    path = (*part.path, *name.split("."))
    if name == "cover":
        is_there = part.kind is PartKind.NEW_ROLLER or any(each[: len(path)] == path for each in values)
        return values.get(path, COVERED if is_there else BARE)  # left out, it is a bare roller
    said = values.get(path, "")
    return "" if said == UNKNOWN else said


def _choices(part: Part, name: str, *, shape: FieldShape, values: Values) -> tuple[tuple[str, str], ...]:
    nothing = ("", label("web_edit.not_said"))
    if name == "cover":
        return ((COVERED, label("web_edit.covered")), (BARE, label("web_edit.bare")))
    if name == "roller" or (part.kind is PartKind.NEW_CONTACT and name in ("a", "b")):
        rollers = members(values, part.unit)
        return (nothing, *((each, each) for each in (*rollers, *(CYLINDER_IDS if name != "roller" else ()))))
    if shape.kind is Kind.YES_NO:
        return (nothing, ("yes", label("web_edit.yes")), ("no", label("web_edit.no")))
    return (nothing, *((each, each) for each in shape.words)) if shape.words else ()


def _help(name: str, shape: FieldShape) -> str:
    """The meaning, with the part it belongs to where the form has several of a kind."""
    if name == "id":
        return label("web_edit.id")
    if name == "cover":
        return label("web_edit.cover")
    above = name.partition(".")[0] if "." in name else ""
    return (
        f"{label(f'web_edit_part.{above}')}: {shape.row.help}"
        if above
        else shape.row.help[:1].upper() + shape.row.help[1:]
    )


def _span(shape: FieldShape) -> str:
    low, high = shape.row.low, shape.row.high
    return f"{low:g} – {high:g}" if low is not None and high is not None else ""


def _is_about(problem: Problem, part: Part, *, name: str, names: tuple[str, ...]) -> bool:
    """A problem belongs to the field it names, or to the first of the group it names as a whole."""
    about = part.path
    if len(problem.path) <= len(about) or problem.path[: len(about)] != about:
        return False
    rest = ".".join(problem.path[len(about) :])
    first = next((each for each in names if each == rest or each.startswith(f"{rest}.")), None)
    return name == first


def differences(part: Part, found: Mapping[str, str], values: Values) -> Iterator[str]:
    """What a form changes, as one reads it later: ``diameter_mm 54 → 55``."""
    for name, value in found.items():
        before = _shown(values, part, name) or UNKNOWN
        yield f"{name} {before[:40]} → {(value or UNKNOWN)[:40]}"
