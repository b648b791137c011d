"""What is odd about single contacts: ends that do not exist, pairs written twice, surfaces that do not suit."""

from __future__ import annotations

from collections.abc import Iterator

from filmsplit.messages import Problem
from filmsplit.press.bodies import Joint, joints_of
from filmsplit.press.contacts import Contact
from filmsplit.press.press import Unit
from filmsplit.press.roller import Roller

CYLINDER_IS_SOFT = {"plate": False, "blanket": True, "impression": False}
"""Metal plate, rubber blanket, metal impression cylinder."""


def contact_problems(unit: Unit) -> tuple[Problem, ...]:
    """Everything a look at each contact by itself shows."""
    return (*_unsound(unit), *_hardness(unit))


def _unsound(unit: Unit) -> Iterator[Problem]:
    """Contacts that cannot be meant as written. They take no part in the layout."""
    known = set(unit.member_ids)
    seen: set[frozenset[str]] = set()
    for contact in unit.contacts:
        pair = frozenset((contact.a, contact.b))
        strangers = sorted(pair - known)
        if strangers:
            yield _problem("contact-of-nobody", unit, contact, nobody=", ".join(strangers))
        elif len(pair) == 1:
            yield _problem("contact-with-itself", unit, contact)
        elif pair in seen:
            yield _problem("contact-twice", unit, contact)
        seen.add(pair)


def _problem(slug: str, unit: Unit, contact: Contact, **values: object) -> Problem:
    named = {"unit": unit.id, "contact": contact.id, **values}
    return Problem(slug, named, ("units", unit.id, "contacts", contact.id))


def is_soft(unit: Unit, name: str) -> bool:
    """Whether the surface of a member yields when pressed."""
    member = unit.member(name)
    return member.is_soft if isinstance(member, Roller) else CYLINDER_IS_SOFT[name]


def _hardness(unit: Unit) -> Iterator[Problem]:
    """Hard on hard has no stripe; soft on soft wears and heats. The cylinders among themselves are in order."""
    for joint in joints_of(unit):
        if joint.contact is None:
            continue
        slug = _hardness_slug(unit, joint)
        if slug is not None:
            yield _problem(slug, unit, joint.contact)


def _hardness_slug(unit: Unit, joint: Joint) -> str | None:
    soft = is_soft(unit, joint.a) + is_soft(unit, joint.b)
    return {0: "hard-on-hard", 1: None, 2: "soft-on-soft"}[soft]
