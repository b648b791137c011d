"""The stripe map of a press on paper: the train with a sign at every contact, then each stripe with what to do."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.figures.drawing import Drawing
from filmsplit.messages import label
from filmsplit.reports.fields import printed
from filmsplit.reports.typeset import Paper, typeset

WORDS = ("heading", "scale", "hold-first")


@dataclass(frozen=True, slots=True, kw_only=True)
class MapContact:
    """One contact."""

    number: int = printed("its number on the drawing")
    name: str = printed("its two members, as in the press file")
    sign: str = printed("what to do, in a word")
    drawing: Drawing | None = printed("the stripe along the face; nothing where none was read")
    read: str = printed("widths, temperature and day of the last stripe")
    target: str = printed("what it should show")
    found: tuple[str, ...] = printed("what its shape says, and what to do")


@dataclass(frozen=True, slots=True, kw_only=True)
class MapUnit:
    """One printing unit."""

    name: str = printed("name of the unit")
    drawing: Drawing = printed("the train with its signs")
    contacts: tuple[MapContact, ...] = printed("contacts in the order of the press file")


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeMapSheet:
    """What the map of a press shows."""

    press: str = printed("name of the press")
    invented: bool = printed("whether it is a demo press")
    as_of: str = printed("the day of the records")
    units: tuple[MapUnit, ...] = printed("units in the order the sheet meets them")


def stripe_map_pdf(sheet: StripeMapSheet, *, paper: Paper) -> bytes:
    """The map as a PDF on ``paper``, upright, printed in black."""
    words = {word: label(f"stripe_map.{word}") for word in WORDS}
    words |= {"page": label("setup_sheet.page"), "invented": label("setup_sheet.invented")}
    words |= {"how": label("round_paper.how")}
    data = {
        "words": words,
        "title": f"{words['heading']}: {sheet.press}",
        "press": sheet.press,
        "invented": sheet.invented,
        "as_of": sheet.as_of,
        "units": [
            {"name": each.name, "drawing": _drawn(each.drawing), "contacts": [_contact(one) for one in each.contacts]}
            for each in sheet.units
        ],
    }
    return typeset("stripe_map.typ", data, paper=paper)


def _drawn(drawing: Drawing) -> dict[str, object]:
    return {"svg": drawing.svg, "alt": drawing.alt, "width": drawing.width_mm, "height": drawing.height_mm}


def _contact(each: MapContact) -> dict[str, object]:
    return {
        "number": each.number,
        "name": each.name,
        "sign": each.sign,
        "drawing": None if each.drawing is None else _drawn(each.drawing),
        "read": each.read,
        "target": each.target,
        "found": list(each.found),
    }
