"""A press described by form, part by part: every change whole or not at all, live on the map, and to be undone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter, Depends
from starlette.requests import Request
from starlette.responses import FileResponse, RedirectResponse, Response

from filmsplit.actions.press_changes import (
    NEW,
    OpenPress,
    Sender,
    drawn,
    fill_part,
    lacking,
    open_press,
    take_out,
    undo,
)
from filmsplit.actions.press_part_fields import LATER, Part, PartKind
from filmsplit.actions.press_parts import COVERED, FormField, contacts, form_of, id_sent, members
from filmsplit.actions.shop import kept_press
from filmsplit.figures.train_map import Place
from filmsplit.formats.press_earlier import Version, told
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import CYLINDER_IDS, Press, Unit
from filmsplit.press.asked import units_asked
from filmsplit.web.addresses import edit_address, press_address
from filmsplit.web.forms import ours
from filmsplit.web.owner import owner_only
from filmsplit.web.pages.rounds import Sent, new_key
from filmsplit.web.render import bench_of
from filmsplit.web.shop_mode.visitor import visitor_of

router = APIRouter(include_in_schema=False)
OWNER = Depends(owner_only)
CHANGING = [OWNER, Depends(ours)]
LONGEST = 4000
"""Characters of a field: more than the longest text of a press file."""
MOST_TOLD, LONGEST_FIGURE = 40, 20
PLACED = {"x_mm": "centre.x_mm", "y_mm": "centre.y_mm", "diameter_mm": "diameter_mm"}
"""What a link may say of a roller, and the fields it fills."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One of several parts to choose, and its address."""

    name: str
    address: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldGroup:
    """Fields that belong together. ``folded``: nothing is written in them, and a press can do without for long."""

    name: str
    fields: tuple[FormField, ...]
    folded: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PartForm:
    """The form of a part: its fields in groups, who it may touch (a new roller), and whether it can be taken out."""

    part: Part
    heading: str
    groups: tuple[FieldGroup, ...]
    problems: tuple[Problem, ...]
    touches: tuple[tuple[str, str], ...]
    sent: Mapping[str, str]
    removable: bool
    new: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class EditPage:
    """A press being described: the map, its parts, the form of one of them, what is wrong, and what was changed.

    ``form`` is ``None`` where the file cannot be read; ``problems`` then say why.
    """

    template: ClassVar[str] = "press_edit.html"
    place: ClassVar[str] = "presses"

    name: str
    words: str
    address: str
    unit: str
    units: tuple[Choice, ...]
    parts: tuple[Choice, ...]
    rollers: tuple[Choice, ...]
    contacts: tuple[Choice, ...]
    svg: str
    form: PartForm | None
    usable: bool
    lacking: int
    problems: tuple[Problem, ...]
    can_undo: bool
    can_redo: bool
    changes: tuple[tuple[Version, bool], ...]
    seen: str
    key: str

    @property
    def title(self) -> str:
        return label("web_edit.title", press=self.words)


@router.get("/presses/{name}/edit", dependencies=[OWNER])
def edit(request: Request, name: str, *, unit: str = "", part: str = "", id: str = "") -> Response:
    """The form of a part; that of the press as a whole where none was asked for.

    A link may bring what a roller measures (``PLACED``): filled in, as good as typed, and kept by nobody yet.
    """
    bench = bench_of(request)
    opened = open_press(bench.shop, name)
    shown, said = _part(opened, unit, kind=part, id=id), request.query_params
    filled = {field: said[name][:LONGEST_FIGURE] for name, field in PLACED.items() if name in said}
    is_placed = filled and shown.kind in (PartKind.ROLLER, PartKind.NEW_ROLLER)
    return bench.show(request, _page(opened, shown, sent=filled if is_placed else None))


@router.post("/presses/{name}/edit", dependencies=CHANGING)
def change(request: Request, name: str, *, sent: Sent) -> Response:
    """Change a part or add one, whole or not at all."""
    bench, given = bench_of(request), {field: text.strip()[:LONGEST] for field, text in sent.items()}
    opened = open_press(bench.shop, name)
    part = _part(opened, given.get("unit", ""), kind=given.get("part", ""), id=given.get("of", ""))
    try:
        fill_part(bench.shop, name, part, sent=given, sender=_sender(request, given))
    except Refusal as refusal:
        page = _page(open_press(bench.shop, name), part, sent=given, problems=refusal.problems)
        return bench.show(request, page, status=422)
    now = id_sent(part, given) if part.id else ""
    return RedirectResponse(edit_address(name, unit=part.unit, part=part.kind.value, id=now), 303)


@router.post("/presses/{name}/edit/take-out", dependencies=CHANGING)
def remove(request: Request, name: str, *, sent: Sent) -> Response:
    """Take a roller, a contact or the fountain out."""
    bench = bench_of(request)
    opened = open_press(bench.shop, name)
    part = _part(opened, sent.get("unit", ""), kind=sent.get("part", ""), id=sent.get("of", ""))
    try:
        take_out(bench.shop, name, part, sender=_sender(request, sent))
    except Refusal as refusal:
        page = _page(open_press(bench.shop, name), part, problems=refusal.problems)
        return bench.show(request, page, status=422)
    return RedirectResponse(edit_address(name, unit=part.unit), 303)


@router.post("/presses/{name}/edit/undo", dependencies=CHANGING)
def back(request: Request, name: str, *, sent: Sent) -> Response:
    """Undo the last change."""
    return _stepped(request, name, sent, by=-1)


@router.post("/presses/{name}/edit/redo", dependencies=CHANGING)
def again(request: Request, name: str, *, sent: Sent) -> Response:
    """Do again what was undone."""
    return _stepped(request, name, sent, by=1)


def _stepped(request: Request, name: str, sent: Mapping[str, str], *, by: int) -> Response:
    undo(bench_of(request).shop, name, by=by, sender=_sender(request, sent))
    return RedirectResponse(edit_address(name, unit=sent.get("unit", "")), 303)


@router.get("/presses/{name}/file.yaml")
def file(request: Request, name: str) -> Response:
    """The press file as it is, usable or not."""
    kept = kept_press(bench_of(request).shop, name)
    return FileResponse(kept.path, media_type="application/yaml", filename=f"{kept.name}.yaml")


def _sender(request: Request, sent: Mapping[str, str]) -> Sender:
    return Sender(person=visitor_of(request).name, key=sent.get("key", "")[:80], seen=sent.get("seen", ""))


def _part(opened: OpenPress, unit: str, *, kind: str, id: str) -> Part:
    """The part asked for; :class:`Refusal` where the press has none of that id."""
    asked = next((each for each in PartKind if each.value == kind), PartKind.PRESS)
    if opened.press is None:
        return Part(kind=PartKind.PRESS, unit="")
    found = units_asked(opened.press, unit)[0].id if unit else opened.press.units[0].id
    known = {PartKind.ROLLER: members, PartKind.CONTACT: contacts}.get(asked)
    if known is not None and id not in known(opened.values, found):
        raise Refusal(Problem("place-not-on-unit", {"place": id[:60], "press": opened.name, "unit": found}))
    return Part(kind=asked, unit=found, id=id if known is not None else "")


def _page(
    opened: OpenPress, part: Part, *, sent: Mapping[str, str] | None = None, problems: tuple[Problem, ...] = ()
) -> EditPage:
    press = opened.press
    unit = None if press is None else press.unit(part.unit)
    return EditPage(
        name=opened.name,
        words=opened.name if press is None else press.name or opened.name,
        address=press_address(opened.name),
        unit=part.unit,
        units=() if press is None else tuple(_units(opened, press, part)),
        parts=() if press is None else tuple(_choices(opened, part)),
        rollers=_of(opened, part, kind=PartKind.ROLLER, ids=members(opened.values, part.unit)),
        contacts=_of(opened, part, kind=PartKind.CONTACT, ids=contacts(opened.values, part.unit)),
        svg="" if press is None or unit is None else drawn(press, unit, places=_places(opened, unit)),
        form=None if press is None else _form(opened, part, sent=sent, problems=problems),
        usable=opened.usable,
        lacking=lacking(opened),
        problems=opened.problems if press is not None else (*problems, *opened.problems),
        can_undo=opened.earlier.can_undo,
        can_redo=opened.earlier.can_redo,
        changes=tuple(told(opened.earlier))[:MOST_TOLD],
        seen=opened.seen,
        key=new_key(),
    )


def _form(opened: OpenPress, part: Part, *, sent: Mapping[str, str] | None, problems: tuple[Problem, ...]) -> PartForm:
    shown = Part(kind=part.kind, unit=part.unit, id=id_sent(part, sent or {})) if part.kind in NEW else part
    # What a change was refused for is said beside the form; else what the file as it stands is told.
    fields, rest = form_of(shown, opened.values, sent=sent, problems=problems or opened.problems)
    rollers = members(opened.values, part.unit)
    return PartForm(
        part=part,
        heading=f"{label(f'web_edit_kind.{part.kind.value}')} {part.id}".strip(),
        groups=tuple(_groups(fields)),
        problems=rest if problems else (),
        touches=tuple((each, each) for each in (*rollers, *CYLINDER_IDS)) if part.kind is PartKind.NEW_ROLLER else (),
        sent=sent or {},
        removable=part.kind in (PartKind.ROLLER, PartKind.CONTACT)
        or (part.kind is PartKind.FOUNTAIN and any(path[:3] == (*part.path, "roller") for path in opened.values)),
        new=part.kind in NEW,
    )


def _groups(fields: tuple[FormField, ...]) -> Iterator[FieldGroup]:
    for group in dict.fromkeys(each.group for each in fields):
        found = tuple(each for each in fields if each.group == group)
        is_used = any(each.problems or each.value not in ("", COVERED) for each in found)
        name = label(f"web_edit_part.{group.rpartition('.')[2]}") if group else ""
        yield FieldGroup(name=name, fields=found, folded=group in LATER and not is_used)


def _units(opened: OpenPress, press: Press, part: Part) -> list[Choice]:
    return [
        Choice(name=each.name or each.id, address=edit_address(opened.name, unit=each.id), chosen=each.id == part.unit)
        for each in press.units
    ]


def _choices(opened: OpenPress, part: Part) -> list[Choice]:
    kinds = [each for each in PartKind if each not in (PartKind.ROLLER, PartKind.CONTACT)]
    return [
        Choice(
            name=label(f"web_edit_kind.{each.value}"),
            address=edit_address(opened.name, unit=part.unit, part=each.value),
            chosen=each is part.kind,
        )
        for each in kinds
    ]


def _of(opened: OpenPress, part: Part, *, kind: PartKind, ids: tuple[str, ...]) -> tuple[Choice, ...]:
    return tuple(
        Choice(
            name=id,
            address=edit_address(opened.name, unit=part.unit, part=kind.value, id=id),
            chosen=part.kind is kind and part.id == id,
        )
        for id in ids
    )


def _places(opened: OpenPress, unit: Unit) -> dict[str, Place]:
    """Every roller and contact leads to its own form."""

    def way(kind: PartKind, id: str) -> Place:
        name = f"{label(f'web_edit_kind.{kind.value}')} {id}"
        return Place(edit_address(opened.name, unit=unit.id, part=kind.value, id=id), name, mark="")

    rollers = {id: way(PartKind.ROLLER, id) for id in members(opened.values, unit.id)}
    return rollers | {id: way(PartKind.CONTACT, id) for id in contacts(opened.values, unit.id)}
