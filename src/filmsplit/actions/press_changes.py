"""Change the press files of a shop part by part: whole or not at all, with what was before kept and to be had again."""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from threading import Lock

from filmsplit.actions.press_part_fields import NAMING, Part, PartKind
from filmsplit.actions.press_parts import Values, changed, differences, id_sent
from filmsplit.actions.shop import KeptPress, Shop, kept_press, kept_presses
from filmsplit.figures.train_map import Place, map_train
from filmsplit.formats.press_door import brought_press
from filmsplit.formats.press_earlier import (
    Earlier,
    Version,
    change_to,
    earlier_of,
    sent_before,
    step_to,
    with_disk,
)
from filmsplit.formats.press_edit import add_contacts, add_rollers, set_values
from filmsplit.formats.press_fields import NONE
from filmsplit.formats.press_file import describe, read_text
from filmsplit.formats.press_rules import ID_PATTERN, RESERVED_IDS
from filmsplit.formats.press_take_out import rejoining, renaming, take_out_contact, take_out_roller, written_values
from filmsplit.formats.press_template import new_press
from filmsplit.formats.yaml_tree import MAX_BYTES
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.messages import Problem, Refusal, Severity, label
from filmsplit.press import Press, Unit
from filmsplit.press.survey import survey
from filmsplit.press.words import ContactKind, Role, TurnSense

EARLIER = "earlier"
"""The folder of what press files were, beside that of the press files."""
DIGITS = 16
MOST_BYTES = MAX_BYTES
"""Of a press file."""
NEW = frozenset({PartKind.NEW_ROLLER, PartKind.NEW_CONTACT})
RESERVED = RESERVED_IDS | {"new", "import", "compare", "con", "prn", "aux", "nul"}
"""No codes of presses: pages have these addresses, and one system keeps the last four for itself."""
_CHANGING = Lock()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sender:
    """Who sends a form, under which key, and the code of the text that it was filled in over (empty: does not say)."""

    person: str = ""
    key: str = ""
    seen: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenPress:
    """A press file as it stands. ``press`` is as far as it can be drawn, ``None`` where it cannot be read at all;
    ``usable``: the rest of the program can work with it. ``seen`` is the code of its text."""

    name: str
    press: Press | None
    usable: bool
    problems: tuple[Problem, ...]
    values: Values
    earlier: Earlier
    seen: str


def open_press(shop: Shop, name: str) -> OpenPress:
    """The press file called ``name`` with what is written in it; :class:`Refusal` where the shop has none."""
    kept = kept_press(shop, name)
    text = read_text(kept.path)
    try:
        press, values = survey(describe(text, name=kept.path.name).press).press, written_values(text)
    except Refusal:
        press, values = None, {}
    return OpenPress(
        name=kept.name,
        press=press,
        usable=kept.press is not None,
        problems=kept.problems,
        values=values,
        earlier=earlier_of(_earlier_file(shop, kept)),
        seen=code_of(text),
    )


def drawn(press: Press, unit: Unit, *, places: Mapping[str, Place]) -> str:
    """A unit as a map, as far as it is described."""
    name = label("web.map", press=press.name or press.id, unit=unit.id)
    return map_train(press, unit, tells="make-up", places=places, name=name).svg


def code_of(text: str) -> str:
    """A code that changes with any character of a text."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:DIGITS]


def start(shop: Shop, code: str, *, name: str, plate_turns: str, like: str = "") -> str:
    """A new press of the shop: empty, or a copy of the shop's or an invented press ``like``. Returns its code."""
    problems = [*code_problems(shop, code)]
    turns = next((each for each in TurnSense if each.value == plate_turns), None)
    if turns is None and not like:
        problems.append(Problem("press-turn-unsaid", path=("plate_turns",)))
    if problems:
        raise Refusal(problems)
    if like:
        text = set_values(_text_of(shop, like), {"id": code, **({"name": name} if name else {})})
    else:
        assert turns is not None
        text = new_press(code, name, plate_turns=turns)
    put_in(shop, code, text, said="started")
    return code


def bring_in(shop: Shop, data: bytes, *, code: str = "", person: str = "") -> str:
    """A press file that somebody brought, under a code of its own or the one it has. Returns the code.

    It has to be readable; what its geometry still lacks is told as of any other. :class:`Refusal`.
    """
    found = None if code and code_problems(shop, code) else brought_press(data, id=code)
    problems = code_problems(shop, code if found is None else found.id)
    if found is None or problems:
        raise Refusal(problems)
    put_in(shop, found.id, found.text, said="brought", person=person)
    return found.id


def put_in(shop: Shop, code: str, text: str, *, said: str, person: str = "") -> None:
    """Put a press file that the shop does not have into it; ``code`` was looked at before."""
    path = shop.presses_folder / f"{code}.yaml"
    version = Version(text=text, said=said, at=_now(), person=person)
    with _CHANGING:
        if path.exists():
            raise Refusal(Problem("press-code-taken", {"code": code}, ("code",)))
        change_to(path, shop.folder / EARLIER / f"{code}.json", earlier=Earlier(), version=version)


def code_problems(shop: Shop, code: str) -> tuple[Problem, ...]:
    """What keeps a word from being the code of a new press: it becomes the name of a file, so it is plain."""
    if not re.fullmatch(ID_PATTERN, code) or code.casefold() in RESERVED:
        return (Problem("press-code-unusable", {"given": code[:40]}, ("code",)),)
    taken = {each.name.casefold() for each in kept_presses(shop)}
    taken |= {each.press.id.casefold() for each in kept_presses(shop) if each.press is not None}
    return (Problem("press-code-taken", {"code": code}, ("code",)),) if code.casefold() in taken else ()


def _text_of(shop: Shop, like: str) -> str:
    found = next((each.path for each in kept_presses(shop) if each.name == like), None)
    if found is None and like in demo_presses():
        return demo_path(like).read_text(encoding="utf-8")
    return read_text(kept_press(shop, like).path if found is None else found)


def fill_part(shop: Shop, name: str, part: Part, *, sent: Mapping[str, str], sender: Sender) -> None:
    """Change a part of a press, or add one, as a form was filled in. :class:`Refusal`; the file is then untouched."""
    about = id_sent(part, sent)

    def change(text: str) -> tuple[str, str]:
        values = written_values(text)
        found = changed(part, values, sent)
        told = ", ".join(differences(part, found, values))
        if part.kind in NEW:
            return _added(text, part, found=found, sent=sent), told
        ways = {".".join((*part.path, field)): value for field, value in found.items() if field not in NAMING}
        if part.id and about != part.id:
            again = renaming if part.kind is PartKind.ROLLER else rejoining
            ways |= again(text, part.unit, old=part.id, new=about)
        return (set_values(text, ways) if ways else text), told

    said = "added" if part.kind in NEW else "set"
    try:
        _change(shop, name, change, said=(said, _about(part, part.id or about)), sender=sender)
    except Refusal as refusal:
        raise Refusal(_homed(each, part, sent) for each in refusal.problems) from refusal


def take_out(shop: Shop, name: str, part: Part, *, sender: Sender) -> None:
    """Take a roller with its contacts, a contact, or the fountain out. :class:`Refusal`; the file is then untouched."""

    def change(text: str) -> tuple[str, str]:
        if part.kind is PartKind.CONTACT:
            return take_out_contact(text, part.unit, part.id), ""
        if part.kind is PartKind.ROLLER:
            return take_out_roller(text, part.unit, part.id), ""
        return set_values(text, {".".join(Part(kind=PartKind.FOUNTAIN, unit=part.unit).path): NONE}), ""

    _change(shop, name, change, said=("taken-out", _about(part, part.id)), sender=sender)


def undo(shop: Shop, name: str, *, by: int, sender: Sender) -> None:
    """Go back to the version before (``by`` -1), or forward again (1). :class:`Refusal` where there is none."""
    kept = kept_press(shop, name)
    file = _earlier_file(shop, kept)
    with _CHANGING:
        earlier = earlier_of(file)
        if sent_before(kept.path, earlier=earlier, key=sender.key):
            return
        text = read_text(kept.path)
        _not_meanwhile(text, sender)
        step_to(kept.path, file, earlier=with_disk(earlier, text), by=by, key=sender.key)


def _change(
    shop: Shop, name: str, change: Callable[[str], tuple[str, str]], *, said: tuple[str, str], sender: Sender
) -> None:
    kept = kept_press(shop, name)
    file = _earlier_file(shop, kept)
    with _CHANGING:
        earlier = earlier_of(file)
        if sent_before(kept.path, earlier=earlier, key=sender.key):
            return
        text = read_text(kept.path)
        _not_meanwhile(text, sender)
        after, told = change(text)
        what, about = said
        if after == text:
            return
        version = Version(
            text=after,
            said=what,
            about=f"{about}: {told}" if told else about,
            at=_now(),
            person=sender.person,
            key=sender.key,
        )
        change_to(kept.path, file, earlier=with_disk(earlier, text), version=version)


def _not_meanwhile(text: str, sender: Sender) -> None:
    if sender.seen and sender.seen != code_of(text):
        raise Refusal(Problem("press-changed-meanwhile"))


def _added(text: str, part: Part, *, found: Mapping[str, str], sent: Mapping[str, str]) -> str:
    if part.kind is PartKind.NEW_CONTACT:
        return add_contacts(text, _table(found, need=("a", "b")), unit=part.unit)
    text = add_rollers(text, _table(found, need=("id", "role")), unit=part.unit)
    for touched in dict.fromkeys(filter(None, (sent.get("touches_1", ""), sent.get("touches_2", "")))):
        # A ductor goes from one to the other of what it touches; every other roller stays where it is.
        kind = {"kind": ContactKind.TOUCHES.value} if found.get("role") == Role.DUCTOR.value else {}
        text = add_contacts(text, _table({"a": found.get("id", ""), "b": touched, **kind}, need=()), unit=part.unit)
    return text


def _table(found: Mapping[str, str], *, need: tuple[str, ...]) -> str:
    """One part as the table that a spreadsheet would give."""
    columns = list(dict.fromkeys((*need, *found)))
    written = io.StringIO()
    csv.writer(written).writerows([columns, [found.get(each, "") for each in columns]])
    return written.getvalue()


def _homed(problem: Problem, part: Part, sent: Mapping[str, str]) -> Problem:
    """Something wrong with a part under its new id is wrong with the part that the form shows."""
    here, about = problem.path, part.path
    if part.id and here[: len(about)] == (*about[:-1], id_sent(part, sent)):
        return replace(problem, path=(*about, *here[len(about) :]))
    return problem


def _about(part: Part, id: str) -> str:
    words = label(f"web_edit_kind.{part.kind.value}")
    return label("web_edit.about", unit=part.unit, part=f"{words} {id}".strip())


def _earlier_file(shop: Shop, kept: KeptPress) -> Path:
    return shop.folder / EARLIER / f"{kept.path.stem}.json"


def _now() -> str:
    return datetime.now().astimezone().strftime("%Y-%m-%d %H:%M")


def lacking(opened: OpenPress) -> int:
    """How many things stand in the way of using a press."""
    return sum(each.severity is Severity.REFUSED for each in opened.problems)
