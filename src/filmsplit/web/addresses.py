"""The address of everything that has one, so that a link and a route can never differ in how they are written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from urllib.parse import quote, urlencode


def press_address(press: str, unit: str = "", *, tells: str = "") -> str:
    """A press; one of its units; what its map tells."""
    parts = f"/presses/{quote(press, safe='')}" + (f"/{quote(unit, safe='')}" if unit else "")
    return parts + (f"?tells={quote(tells, safe='')}" if tells else "")


def place_address(press: str, unit: str, *, roller: str) -> str:
    """A roller's place on a press."""
    return f"{press_address(press, unit)}/roller/{quote(roller, safe='')}"


def contact_address(press: str, unit: str, *, contact: str) -> str:
    """A contact of a press; its id has the two members with a stroke between them."""
    return f"{press_address(press, unit)}/contact/{quote(contact, safe='/')}"


def roller_address(mark: str) -> str:
    """A roller of the register, by what is stamped at its journal."""
    return f"/rollers/{quote(mark, safe='')}"


def round_address(number: int, *, part: str = "") -> str:
    """A round at a press; its ``part``: gate, result."""
    return f"/rounds/{number}" + (f"/{part}" if part else "")


def reading_address(number: int, *, contact: str) -> str:
    """The page of a round on which a contact is read."""
    return f"/rounds/{number}/contact/{quote(contact, safe='/')}"


def job_address(code: str) -> str:
    """A job on record, by the code that stands on its paper."""
    return f"/jobs/logged/{quote(code, safe='')}"


def word_address(slug: str) -> str:
    """A word of the glossary, on the page of all of them."""
    return f"/words#{quote(slug, safe='')}"


def procedure_address(id: str) -> str:
    """A procedure, for the first unit of the shop unless another is chosen there."""
    return f"/procedures/{quote(id, safe='')}"


def message_address(slug: str) -> str:
    """What a message means, by the short name printed under it."""
    return f"/messages/{quote(slug, safe='')}"


def register_address(press: str = "", *, paper: bool = False) -> str:
    """The rollers of the register, of one press where one is named; the folder of that press's papers."""
    if paper:
        return f"/rollers/on/{quote(press, safe='')}"
    return "/rollers" + (f"?on={quote(press, safe='')}" if press else "")


def edit_address(
    press: str, *, unit: str = "", part: str = "", id: str = "", filled: Mapping[str, str] | None = None
) -> str:
    """Where a press is described; the form of one of its parts, and what it is to be filled with."""
    asked = {name: value for name, value in (("unit", unit), ("part", part), ("id", id)) if value} | dict(filled or {})
    return f"{press_address(press)}/edit" + (f"?{urlencode(asked)}" if asked else "")


def compare_address(presses: Sequence[str], *, ink: bool = False) -> str:
    """Presses side by side; with what the counts stand for where ``ink`` is asked for."""
    asked = [("with", each) for each in presses] + ([("ink", "yes")] if ink else [])
    return f"/presses/compare?{urlencode(asked)}"


def marks_address(press: str, unit: str, *, picture: bool = False) -> str:
    """Marks matched with the rollers of a unit; the picture of their sheet."""
    return f"{press_address(press, unit)}/marks" + ("/sheet.svg" if picture else "")


def solution_address(press: str, *, part: str = "") -> str:
    """The fountain solution of a press; its ``part``: sample, titration, bands, or a picture."""
    return f"/solution/{quote(press, safe='')}" + (f"/{part}" if part else "")


def found_address(press: str, unit: str, *, roller: str = "") -> str:
    """What the condition of a unit, or of one roller, does to the sheet."""
    return f"{press_address(press, unit)}/as-found" + (f"?of={quote(roller, safe='')}" if roller else "")


def photo_address(press: str, unit: str, *, picture: bool = False) -> str:
    """A photo of a unit behind its drawing; the photo alone."""
    return f"{press_address(press, unit)}/photo" + ("/picture.jpg" if picture else "")
