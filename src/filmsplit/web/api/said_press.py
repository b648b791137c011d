"""What the API says of presses, their places and marks. Units stand in the names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from filmsplit.actions.map_tells import Telling
from filmsplit.actions.shop import KeptPress
from filmsplit.condition.readings import StripeReading
from filmsplit.condition.verdict import RollerVerdict, Verdict
from filmsplit.condition.words import Measure
from filmsplit.faults.result import RankedSuspect
from filmsplit.press import Contact, Press, Unit
from filmsplit.press.facts import facts_of
from filmsplit.press.surfaces import RollerFacts
from filmsplit.web.api.answering import ProblemSaid, said


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictSaid:
    """The judgement on the roller ``mark``, why, and the measures that nobody has read."""

    mark: str
    verdict: Verdict
    findings: tuple[ProblemSaid, ...]
    unread: tuple[Measure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PressSaid:
    """A press of the shop. ``name`` is that of its file and its name in every address; ``id`` that in the records."""

    name: str
    id: str | None
    title: str
    usable: bool
    invented: bool
    problems: tuple[ProblemSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerSaid:
    """A roller's place as the press file has it. ``repeat_mm`` is press travel for one turn."""

    id: str
    name: str
    role: str
    make_up: str
    motion: str
    drive: str
    diameter_mm: float
    repeat_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactSaid:
    """A contact of two members and the width its stripe should have."""

    a: str
    b: str
    kind: str
    target_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitSaid:
    """A unit of a press."""

    id: str
    name: str
    zones: int
    rollers: tuple[RollerSaid, ...]
    contacts: tuple[ContactSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PressesAnswer:
    """Every press file of the shop by name."""

    filmsplit: Literal["presses 2"] = "presses 2"
    presses: tuple[PressSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PressAnswer:
    """A press, unit by unit. No units where its file cannot be used."""

    filmsplit: Literal["press 1"] = "press 1"
    press: PressSaid
    units: tuple[UnitSaid, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MapAnswer:
    """The train of a unit drawn as SVG, and the verdicts on the rollers fitted, by place."""

    filmsplit: Literal["press-map 1"] = "press-map 1"
    press: str
    unit: str
    tells: Telling
    svg: str
    verdicts: dict[str, VerdictSaid]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceAnswer:
    """A roller's place, what touches it, and the roller of the register fitted there (``null``: none)."""

    filmsplit: Literal["place 1"] = "place 1"
    press: str
    unit: str
    roller: RollerSaid
    contacts: tuple[ContactSaid, ...]
    mark: str | None
    verdict: VerdictSaid | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactAnswer:
    """A contact and the stripes read there with the rollers now fitted, the newest first."""

    filmsplit: Literal["contact 1"] = "contact 1"
    press: str
    unit: str
    contact: ContactSaid
    stripes: tuple[StripeReading, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectSaid:
    """A part that may have left the marks. ``alike`` repeats so nearly the same that distances cannot tell."""

    unit: str
    members: tuple[str, ...]
    probability: float
    expected_mm: float
    fitted_mm: float | None
    alike: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksAnswer:
    """Suspects, the likeliest first; their probabilities and ``unlisted`` add up to 1. ``finding`` in words."""

    filmsplit: Literal["marks 1"] = "marks 1"
    press: str
    finding: str
    suspects: tuple[SuspectSaid, ...]
    unlisted: float
    notes: tuple[ProblemSaid, ...]


def verdict_said(verdict: RollerVerdict) -> VerdictSaid:
    """A verdict with its reasons in words."""
    return VerdictSaid(
        mark=verdict.roller,
        verdict=verdict.verdict,
        findings=tuple(said(each.problem) for each in verdict.findings),
        unread=verdict.unread,
    )


def press_said(kept: KeptPress) -> PressSaid:
    """A press file of the shop."""
    press = kept.press
    return PressSaid(
        name=kept.name,
        id=None if press is None else press.id,
        title=kept.name if press is None else press.name,
        usable=press is not None,
        invented=press is not None and press.invented,
        problems=tuple(map(said, kept.problems)),
    )


def unit_said(press: Press, unit: Unit) -> UnitSaid:
    """A unit with its rollers and contacts."""
    facts = facts_of(press).unit(unit.id)
    return UnitSaid(
        id=unit.id,
        name=unit.name,
        zones=facts.zones,
        rollers=tuple(map(roller_said, facts.rollers)),
        contacts=tuple(map(contact_said, unit.contacts)),
    )


def roller_said(facts: RollerFacts) -> RollerSaid:
    """A roller's place in words and figures."""
    return RollerSaid(
        id=facts.id,
        name=facts.name,
        role=facts.role.value,
        make_up=facts.make_up.value,
        motion=facts.motion.value,
        drive=facts.drive.value,
        diameter_mm=facts.diameter_mm,
        repeat_mm=facts.repeat_mm,
    )


def contact_said(contact: Contact) -> ContactSaid:
    """A contact and its target."""
    return ContactSaid(a=contact.a, b=contact.b, kind=contact.kind.value, target_mm=contact.stripe.target_mm)


def suspect_said(ranked: RankedSuspect) -> SuspectSaid:
    """A suspect of marks by its best explanation."""
    return SuspectSaid(
        unit=ranked.suspect.unit,
        members=ranked.suspect.members,
        probability=ranked.probability,
        expected_mm=ranked.expected_mm,
        fitted_mm=ranked.fitted_mm,
        alike=ranked.alike,
    )
