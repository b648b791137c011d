"""A contact of a described press as two bodies that meet, with what had to be assumed for it."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.contact.hardness import Correlation, is_reliable
from filmsplit.contact.rollers import Body, Pair, SoftCover
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Contact, Press, Roller, Unit
from filmsplit.press.asked import units_asked
from filmsplit.press.words import Material

BLANKET = "blanket"


@dataclass(frozen=True, slots=True, kw_only=True)
class DescribedPair:
    """A contact of a press, its pair, and the paths of the sizes that are assumed: diameter, thickness, hardness."""

    unit: Unit
    contact: Contact
    pair: Pair
    assumed: tuple[tuple[str, ...], ...]
    notes: tuple[Problem, ...]


def find_contact(press: Press, name: str, *, unit: str | None = None) -> tuple[Unit, Contact]:
    """The contact called ``a/b`` in either order. Refuses one that is not there, or is in several units."""
    units = units_asked(press, unit)
    ends = {part.strip() for part in name.split("/")}
    found = [(each, contact) for each in units for contact in each.contacts if {contact.a, contact.b} == ends]
    if len(found) == 1:
        return found[0]
    if found:
        values = {"contact": name, "units": ", ".join(each.id for each, _ in found)}
        raise Refusal(Problem("contact-in-several-units", values))
    known = sorted({contact.id for each in units for contact in each.contacts})
    raise Refusal(Problem("contact-not-there", {"contact": name, "press": press.id, "known": ", ".join(known)}))


def described_pair(
    press: Press, unit: Unit, contact: Contact, *, correlation: Correlation = Correlation.GENT
) -> DescribedPair:
    """The contact as mechanics sees it. Refuses what the law does not hold for: cloth, blankets, two hard rollers."""
    problems = [problem for member in (contact.a, contact.b) for problem in _unfit(unit, member)]
    if problems:
        raise Refusal(problems)
    pair = Pair(a=_body(unit, contact.a), b=_body(unit, contact.b), correlation=correlation)
    if pair.a.cover is None and pair.b.cover is None:
        raise Refusal(Problem("nip-without-cover", {}, ("units", unit.id, "contacts", contact.id)))
    assumed = tuple(path for member in (contact.a, contact.b) for path in _assumed(press, unit, member))
    notes = [Problem("stripe-size-assumed", {"field": ".".join(path[3:])}, path) for path in assumed]
    notes += [
        Problem("hardness-not-reliable", {"member": member, "shore_a": body.cover.hardness_shore_a})
        for member, body in ((contact.a, pair.a), (contact.b, pair.b))
        if body.cover is not None and not is_reliable(body.cover.hardness_shore_a)
    ]
    return DescribedPair(unit=unit, contact=contact, pair=pair, assumed=assumed, notes=tuple(notes))


def _unfit(unit: Unit, member: str) -> list[Problem]:
    if member == BLANKET:
        return [Problem("blanket-not-a-bonded-cover", {"member": member})]
    body = unit.member(member)
    if isinstance(body, Roller) and body.cover is not None and body.cover.material is Material.CLOTH:
        return [Problem("cloth-not-a-bonded-cover", {"member": member})]
    return []


def _body(unit: Unit, member: str) -> Body:
    body = unit.member(member)
    if not (isinstance(body, Roller) and body.is_soft and body.cover is not None):
        return Body(diameter_mm=body.diameter_mm)
    cover = SoftCover(thickness_mm=body.cover.thickness_mm, hardness_shore_a=body.cover.hardness_shore_a)
    return Body(diameter_mm=body.diameter_mm, cover=cover)


def _assumed(press: Press, unit: Unit, member: str) -> list[tuple[str, ...]]:
    """Assumed sizes of a roller, also those assumed with the whole cover; a cylinder's are small beside its radius."""
    body = unit.member(member)
    if not isinstance(body, Roller):
        return []
    root = ("units", unit.id, "rollers", member)
    fields = [("diameter_mm",), *((("cover", "thickness_mm"), ("cover", "hardness_shore_a")) if body.is_soft else ())]
    return [
        (*root, *field)
        for field in fields
        if any(press.is_assumed(*(*root, *field)[:end]) for end in range(5, 5 + len(field)))
    ]
