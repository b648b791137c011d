"""People, tablets and pairing codes as they are kept. No PIN, no code and no tablet's secret is kept itself."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from enum import Enum
from typing import Any

from filmsplit.messages import Problem, Refusal


class Role(Enum):
    """What somebody may do. The owner's own computer always has the owner's."""

    OWNER = "owner"
    OPERATOR = "operator"
    LEARNER = "learner"

    @property
    def records(self) -> bool:
        """Whether this person may put anything on record. A learner looks, and computes, and records nothing."""
        return self is not Role.LEARNER


@dataclass(frozen=True, slots=True, kw_only=True)
class Tries:
    """Wrong tries in a row, and until when nobody is listened to (seconds since 1970)."""

    wrong: int = 0
    until_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody on the list. ``pin`` is made by :func:`filmsplit.web.shop_mode.pins.pin_hash`; empty: no PIN."""

    name: str
    role: Role
    pin: str = ""
    tries: Tries = Tries()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tablet:
    """A paired device. ``digest`` is that of the secret in its cookie, ``person`` who uses it now (empty: nobody)."""

    number: int
    digest: str
    paired_on: str
    person: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A pairing code that was not used yet."""

    digest: str
    until_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Admitted:
    """Everybody and everything that is let in. ``tries`` are those of pairing codes, ``next_number`` is the next
    tablet's: a number is never given twice."""

    people: tuple[Person, ...] = ()
    tablets: tuple[Tablet, ...] = ()
    codes: tuple[Code, ...] = ()
    tries: Tries = Tries()
    next_number: int = 1


KIND = "filmsplit-admitted 1"


def to_text(admitted: Admitted) -> str:
    """As it is written down."""
    return json.dumps({"filmsplit": KIND, **asdict(admitted)}, indent=1, default=lambda word: word.value)


def from_text(text: str, *, file: str) -> Admitted:
    """As it was written down; :class:`Refusal` where it is torn: nobody is let in by half a list."""
    try:
        raw: dict[str, Any] = json.loads(text)
        if raw.pop("filmsplit") != KIND:
            raise ValueError(KIND)
        people = tuple(map(_person, raw.pop("people")))
        tablets = tuple(Tablet(**each) for each in raw.pop("tablets"))
        codes = tuple(Code(**each) for each in raw.pop("codes"))
        return Admitted(people=people, tablets=tablets, codes=codes, tries=Tries(**raw.pop("tries")), **raw)
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise Refusal(Problem("shop-list-torn", {"file": file})) from error


def _person(raw: dict[str, Any]) -> Person:
    return Person(name=raw["name"], role=Role(raw["role"]), pin=raw["pin"], tries=Tries(**raw["tries"]))
