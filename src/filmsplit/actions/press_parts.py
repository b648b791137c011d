"""The parts of a press as forms: which fields a part has, what is written in them, and what a filled form changes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from filmsplit.actions.press_part_fields import ADJUSTERS, FIELDS, NAMING, Part, PartKind, Path, group_of
from filmsplit.formats.press_fields import NONE, UNKNOWN, FieldShape, Kind, shapes
from filmsplit.formats.press_reading import in_words
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import CYLINDER_IDS

Values = Mapping[Path, str]
COVERED, BARE = UNKNOWN, NONE
OPTIONAL = ("cover", *ADJUSTERS)
"""What may not be there at all."""
MOST_ZONES = 120
_ZONES = re.compile(r"(\d{1,3})\s*[x×]\s*(\d+(?:\.\d+)?)")


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
    group: str
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
                help=_help(part, name, shape),
                unit=shape.row.unit,
                span=_span(shape),
                number=shape.kind in (Kind.NUMBER, Kind.WHOLE),
                choices=_choices(part, name, shape=shape, values=values),
                value=_shown(values, part, name) if typed is None else typed,
                group=group_of(part, name),
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
    """What a filled form changes, by the names of its fields. What was left as it is written is not among it.

    :class:`Refusal` where something is said not to be there, and what it is like.
    """
    cls, names = FIELDS[part.kind]
    found = {}
    for name in names:
        given = sent.get(name)
        is_told = given is not None and part.kind is PartKind.NEW_ROLLER and name == "cover"
        if given is None or (given == _shown(values, part, name) and not is_told):
            continue
        shape = _shape(cls, name)
        found[name] = given if given or shape.row.assumed == "" else UNKNOWN
        if shape.kind is Kind.NUMBERS:
            found[name] = zones_written(found[name])
    here = part if part.id else replace(part, id=id_sent(part, sent))
    problems = [_missing(here, name, _shape(cls, name)) for name in NAMING if found.get(name) == UNKNOWN]
    for group in OPTIONAL:
        if sent.get(group) == BARE and any(found[each] != UNKNOWN for each in _inner(found, group)):
            slug = "press-bare-with-cover" if group == "cover" else "press-no-adjuster-with-figures"
            problems.append(Problem(slug, path=_way(here, group)))
    if problems:
        raise Refusal(problems)
    written = {".".join(path[len(part.path) :]): value for path, value in values.items() if _begins(path, part.path)}
    return _agreed(found, written)


def _missing(part: Part, name: str, shape: FieldShape) -> Problem:
    values = {"where": in_words(part.path), "field": name, "help": shape.row.help}
    return Problem("press-file-missing", values, _way(part, name))


def zones_written(text: str) -> str:
    """``12x30`` is twelve zones of 30 mm."""

    def row(found: re.Match[str]) -> str:
        return " ".join([found[2]] * int(found[1])) if int(found[1]) <= MOST_ZONES else found[0]

    return _ZONES.sub(row, text)


def _agreed(found: dict[str, str], written: Mapping[str, str]) -> dict[str, str]:
    """Parts that stand and fall as one: a centre with both its figures, a cover or an adjuster with what it is like."""
    for x in [name for name in found if name.endswith("centre.x_mm")]:
        y, centre = f"{x[:-4]}y_mm", x[: -len(".x_mm")]
        if found[x] == found.get(y) == UNKNOWN:
            found = {name: value for name, value in found.items() if name not in (x, y)} | {centre: UNKNOWN}
    for group in OPTIONAL:
        found = _one(found, group, written=written)
    return found


def _one(found: dict[str, str], group: str, *, written: Mapping[str, str]) -> dict[str, str]:
    inner = {name: found[name] for name in _inner(found, group)}
    if found.get(group) == BARE:
        return {name: value for name, value in found.items() if name not in inner}  # they go with it
    after = {name: written[name] for name in _inner(written, group)} | inner
    if group in ADJUSTERS and inner and set(after.values()) == {UNKNOWN}:
        # An adjuster of which nothing is known would be taken for a screw.
        return {name: value for name, value in found.items() if name not in inner} | {group: UNKNOWN}
    if any(value != UNKNOWN for value in inner.values()) or any(True for _ in _inner(written, group)):
        return {name: value for name, value in found.items() if name != group}
    return found


def _inner(names: Iterable[str], group: str) -> Iterator[str]:
    return (name for name in names if name.startswith(f"{group}."))


def _begins(path: Path, start: Path) -> bool:
    return path[: len(start)] == start


def _way(part: Part, name: str) -> Path:
    return (*part.path, *name.split("."))


def _shape(cls: type, name: str) -> FieldShape:
    *steps, last = name.split(".")
    for step in steps:
        cls = shapes(cls)[step].of
    return shapes(cls)[last]


def _shown(values: Values, part: Part, name: str) -> str:
    """What is written, an empty text where nothing is known."""
    path = _way(part, name)
    if name in OPTIONAL:
        is_there = part.kind is PartKind.NEW_ROLLER or any(_begins(each, path) for each in values)
        # A cover that is left out is none; whether there is an adjuster is then not known.
        return BARE if values.get(path) == BARE or (name == "cover" and not is_there) else COVERED
    said = values.get(path, "")
    return "" if said == UNKNOWN else said


def _choices(part: Part, name: str, *, shape: FieldShape, values: Values) -> tuple[tuple[str, str], ...]:
    nothing = ("", label("web_edit.not_said"))
    if name in OPTIONAL:
        bare = label("web_edit.bare" if name == "cover" else "web_edit_contact.no_adjuster")
        return ((COVERED, label("web_edit.covered")), (BARE, bare))
    if part.kind in (PartKind.CONTACT, PartKind.NEW_CONTACT, PartKind.FOUNTAIN):
        rollers = members(values, part.unit)
        named: Mapping[str, tuple[str, ...]] = {
            "roller": rollers,
            "a": (*rollers, *CYLINDER_IDS),
            "b": (*rollers, *CYLINDER_IDS),
            "also_moves": tuple(each for each in contacts(values, part.unit) if each != part.id),
        }
        last = name.rpartition(".")[2]
        if last in named:
            return (nothing, *((each, each) for each in named[last]))
    if shape.kind is Kind.YES_NO:
        return (nothing, ("yes", label("web_edit.yes")), ("no", label("web_edit.no")))
    return (nothing, *((each, each) for each in shape.words)) if shape.words else ()


def _help(part: Part, name: str, shape: FieldShape) -> str:
    """The meaning; with whose it is where one group of the form has several of a kind."""
    if name == "id":
        return label("web_edit.id")
    if name in OPTIONAL:
        return label("web_edit.cover" if name == "cover" else "web_edit_contact.adjuster")
    *above, _ = name.split(".")
    inside = ".".join(above)
    if inside in ("", group_of(part, name)):
        return shape.row.help[:1].upper() + shape.row.help[1:]
    return f"{label(f'web_edit_part.{above[-1]}')}: {shape.row.help}"


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


def id_sent(part: Part, sent: Mapping[str, str]) -> str:
    """What a part goes by once a form is kept: what it went by before where the form does not say."""
    if part.kind in (PartKind.ROLLER, PartKind.NEW_ROLLER):
        return sent.get("id", part.id)
    if part.kind in (PartKind.CONTACT, PartKind.NEW_CONTACT):
        a, b = part.id.split("/") if part.id else ("", "")
        return f"{sent.get('a', a)}/{sent.get('b', b)}"
    return ""
