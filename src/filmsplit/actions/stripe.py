"""Ask about one stripe: of a contact of a press, or of two rollers typed in numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from filmsplit.actions.draw import picture_problems, write_picture
from filmsplit.actions.find import find_press
from filmsplit.contact.answer import StripeAnswer, StripeQuestion, Unsure, answer_stripe
from filmsplit.contact.described import described_pair, find_contact
from filmsplit.contact.hardness import Correlation
from filmsplit.contact.nip import Known
from filmsplit.contact.rollers import Body, Pair, SoftCover
from filmsplit.figures.heading import Subject, subject_of
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press

ASSUMED_SPREADS = {"thickness_mm": 2.0, "diameter_mm": 8.0, "hardness_shore_a": 4.0}
"""Where a whole cover is assumed its sizes have no spread of their own: these are those of the fields."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeAsked:
    """What a person asks about a contact besides which one it is. ``known`` is ``None`` for the target of the press."""

    known: Known | None = None
    value: float = 0.0
    hardnesses: tuple[float, ...] = ()
    set_at_c: float = 20.0
    temperature_c: float | None = None
    run_out_mm: float | None = None
    correlation: Correlation = Correlation.GENT

    @property
    def warming_k(self) -> float | None:
        return None if self.temperature_c is None else self.temperature_c - self.set_at_c


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedRollers:
    """Two rollers typed in numbers; the partner is hard unless it has a cover."""

    roller_mm: float
    partner_mm: float
    cover_mm: float
    hardness_shore_a: float
    partner_cover_mm: float | None = None
    partner_hardness_shore_a: float | None = None

    def pair(self, correlation: Correlation) -> Pair:
        """The pair, or a refusal where the partner's cover is half told."""
        soft = SoftCover(thickness_mm=self.cover_mm, hardness_shore_a=self.hardness_shore_a)
        partner = None
        if self.partner_cover_mm is not None or self.partner_hardness_shore_a is not None:
            if self.partner_cover_mm is None or self.partner_hardness_shore_a is None:
                raise Refusal(Problem("partner-half-told"))
            partner = SoftCover(thickness_mm=self.partner_cover_mm, hardness_shore_a=self.partner_hardness_shore_a)
        a, b = Body(diameter_mm=self.roller_mm, cover=soft), Body(diameter_mm=self.partner_mm, cover=partner)
        return Pair(a=a, b=b, correlation=correlation)


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeTold:
    """An answer with the name of the contact, its press and its members, and what to know about it."""

    subject: Subject
    contact: str
    answer: StripeAnswer
    notes: tuple[Problem, ...]


def stripe_of_contact(reference: str, contact: str, asked: StripeAsked, *, unit: str | None = None) -> StripeTold:
    """The stripe of a contact of the press meant by ``reference``; without a value, its target."""
    press = find_press(reference).press
    where, found = find_contact(press, contact, unit=unit)
    described = described_pair(press, where, found, correlation=asked.correlation)
    notes = list(described.notes)
    known, value = asked.known, asked.value
    if known is None:
        known, value = Known.STRIPE, found.stripe.target_mm
        notes.append(Problem("stripe-target-taken", {"target": value, "contact": found.id}))
    unsure = _unsure(press, described.assumed)
    answer = answer_stripe(_question(described.pair, replace(asked, known=known, value=value), unsure=unsure))
    owner = subject_of(press, where)
    subject = Subject(label("stripe.title", name=owner.name, contact=found.id), owner.invented)
    return StripeTold(subject=subject, contact=found.id, answer=answer, notes=(*notes, *answer.notes))


def stripe_of_typed(rollers: TypedRollers, asked: StripeAsked) -> StripeTold:
    """The stripe of two rollers typed in numbers."""
    if asked.known is None:
        raise Refusal(Problem("stripe-nothing-known"))
    answer = answer_stripe(_question(rollers.pair(asked.correlation), asked, unsure=Unsure()))
    name = label("stripe.typed", roller=f"{rollers.roller_mm:g}", partner=f"{rollers.partner_mm:g}")
    return StripeTold(subject=Subject(name), contact=name, answer=answer, notes=answer.notes)


def draw_stripe_to(told: StripeTold, target: Path) -> None:
    """Write the nip in section and its curves to ``target``, SVG or PNG by its ending."""
    from filmsplit.figures.stripe import MOST_HARDNESSES, draw_stripe  # noqa: PLC0415 - only who wants a picture waits for it

    problems = [*picture_problems(target, over=False)]
    if len(told.answer.question.hardnesses) > MOST_HARDNESSES:
        problems.append(Problem("stripe-too-many-lines", {"most": MOST_HARDNESSES}))
    if problems:
        raise Refusal(problems)
    write_picture(draw_stripe(told.answer, subject=told.subject), target, over=False)


def _question(pair: Pair, asked: StripeAsked, *, unsure: Unsure) -> StripeQuestion:
    assert asked.known is not None
    return StripeQuestion(
        pair=pair,
        known=asked.known,
        value=asked.value,
        hardnesses=asked.hardnesses,
        warming_k=asked.warming_k,
        run_out_mm=asked.run_out_mm,
        unsure=unsure,
    )


def _unsure(press: Press, assumed: tuple[tuple[str, ...], ...]) -> Unsure:
    """The widest spread of what is assumed; what is written down counts as measured."""
    spreads = {one.path: one.spread for one in press.assumptions if one.spread is not None}
    widest: dict[str, float] = {}
    for path in assumed:
        field = path[-1]
        widest[field] = max(widest.get(field, 0.0), spreads.get(path, ASSUMED_SPREADS[field]))
    return replace(Unsure(), **widest)
