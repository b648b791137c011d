"""A question about one stripe answered whole: the contact, how sure it is, and what changes would make of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.contact.changes import USUAL_HEAT, CoverHeat, stripes_round_the_turn, warmed
from filmsplit.contact.limits import half_space_load_n_per_mm, overlap_mm, thin_cover_load_n_per_mm
from filmsplit.contact.nip import Known, Squeeze, squeeze, stripe_range_mm
from filmsplit.contact.rollers import Body, Pair, at_fixed_centres
from filmsplit.messages import Problem, Refusal

SMALL_STRAIN = 0.1
"""Engagement over the covers' thickness up to which a law of small strains is trusted (common practice)."""
FLAT_STRIPE = 0.3
"""Half the stripe over the smaller radius up to which a circle is as good as its parabola: 1 % of the depth."""
STEPS_ROUND = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsure:
    """One standard deviation of what the contact rests on.

    Hardness: readers and instruments differ by about two points (common practice). Thickness and diameters: 0 where
    they were measured, their spread where they are assumed.
    """

    hardness_shore_a: float = 2.0
    thickness_mm: float = 0.0
    diameter_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeQuestion:
    """A pair and one thing known about its contact; the rest is what to compare it with.

    ``hardnesses`` are those to compare with, of all covers there are. ``warming_k`` and ``run_out_mm`` (what a dial
    shows over a turn) are ``None`` where they are not asked.
    """

    pair: Pair
    known: Known
    value: float
    hardnesses: tuple[float, ...] = ()
    warming_k: float | None = None
    run_out_mm: float | None = None
    heat: CoverHeat = USUAL_HEAT
    unsure: Unsure = Unsure()


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHardness:
    """The same stripe with covers of another hardness, and what the same load would leave."""

    shore_a: float
    same_stripe: Squeeze[float]
    load_ratio: float
    stripe_at_same_load_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WhenWarm:
    """The same axes with warmer covers. ``None``: the surfaces part. Loads for no and for strong softening."""

    warming_k: float
    growth_mm: float
    squeeze: Squeeze[float] | None
    loads_n_per_mm: tuple[float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundTheTurn:
    """Stripe at each angle from the high spot; 0 where the surfaces part."""

    angles_deg: tuple[float, ...]
    stripes_mm: tuple[float, ...]

    @property
    def ends_mm(self) -> tuple[float, float]:
        return min(self.stripes_mm), max(self.stripes_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedWith:
    """Closed forms at the same stripe, for comparison only. ``thin_n_per_mm`` exists for one cover."""

    overlap_mm: float
    half_space_n_per_mm: float
    thin_n_per_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeAnswer:
    """The contact with what it rests on. ``low`` and ``high``: one standard deviation of all inputs together."""

    question: StripeQuestion
    found: Squeeze[float]
    low: Squeeze[float]
    high: Squeeze[float]
    compared: ComparedWith
    at_hardness: tuple[AtHardness, ...]
    warm: WhenWarm | None
    round_the_turn: RoundTheTurn | None
    notes: tuple[Problem, ...]


def answer_stripe(question: StripeQuestion) -> StripeAnswer:
    """Everything about the contact. Refuses what cannot be solved."""
    found = squeeze(question.pair.nip, question.known, question.value)
    low, high = _band(question, found)
    return StripeAnswer(
        question=question,
        found=found,
        low=low,
        high=high,
        compared=_compared(question.pair, found),
        at_hardness=tuple(_at_hardness(question.pair, found, shore_a) for shore_a in question.hardnesses),
        warm=_when_warm(question, found),
        round_the_turn=_round_the_turn(question, found),
        notes=tuple(_notes(question.pair, found)),
    )


def of_hardness(pair: Pair, shore_a: float) -> Pair:
    """The pair with the covers it has at another hardness."""
    return replace(pair, a=pair.a.at_hardness(shore_a), b=pair.b.at_hardness(shore_a))


def _at_hardness(pair: Pair, found: Squeeze[float], shore_a: float) -> AtHardness:
    other = of_hardness(pair, shore_a).nip
    same = squeeze(other, Known.STRIPE, found.stripe_mm)
    return AtHardness(
        shore_a=shore_a,
        same_stripe=same,
        load_ratio=same.load_n_per_mm / found.load_n_per_mm,
        stripe_at_same_load_mm=squeeze(other, Known.LOAD, found.load_n_per_mm).stripe_mm,
    )


def _when_warm(question: StripeQuestion, found: Squeeze[float]) -> WhenWarm | None:
    if question.warming_k is None:
        return None
    pair, warming, heat = question.pair, question.warming_k, question.heat

    def at(softening: float) -> tuple[Pair, Squeeze[float] | None]:
        softer = replace(heat, softening_shore_a_per_k=softening)
        a, b = (warmed(body, warming_k=warming, heat=softer) for body in (pair.a, pair.b))
        after = replace(pair, a=a, b=b)
        return after, at_fixed_centres(pair, after, engagement_mm=found.engagement_mm)

    after, usual = at(heat.softening_shore_a_per_k)
    ends = [end.load_n_per_mm for end in (at(softening)[1] for softening in heat.softening_band) if end is not None]
    return WhenWarm(
        warming_k=warming,
        growth_mm=0.5 * (after.a.diameter_mm - pair.a.diameter_mm + after.b.diameter_mm - pair.b.diameter_mm),
        squeeze=usual,
        loads_n_per_mm=(min(ends), max(ends)) if ends else None,
    )


def _round_the_turn(question: StripeQuestion, found: Squeeze[float]) -> RoundTheTurn | None:
    if question.run_out_mm is None:
        return None
    if not question.run_out_mm >= 0.0:
        raise Refusal(Problem("run-out-below-zero"))
    angles = np.arange(0.0, 360.0, 360.0 / STEPS_ROUND)
    stripes = stripes_round_the_turn(
        question.pair.nip,
        engagement_mm=found.engagement_mm,
        run_out_mm=question.run_out_mm,
        angles_deg=angles,
    )
    if not np.isfinite(stripes).all():
        values = {"what": Known.ENGAGEMENT.text, "value": found.engagement_mm + 0.5 * question.run_out_mm}
        low, high = stripe_range_mm(question.pair.nip)
        raise Refusal(Problem("squeeze-beyond-the-law", values | {"low": low, "high": high}))
    return RoundTheTurn(angles_deg=tuple(map(float, angles)), stripes_mm=tuple(map(float, stripes)))


def _compared(pair: Pair, found: Squeeze[float]) -> ComparedWith:
    nip, half = pair.nip, 0.5 * found.stripe_mm
    radius = nip.relative_radius_mm
    thin = None
    if len(nip.covers) == 1:
        (cover,) = nip.covers
        sizes = {"modulus_mpa": cover.modulus_mpa, "thickness_mm": cover.thickness_mm, "radius_mm": radius}
        thin = thin_cover_load_n_per_mm(half, **sizes)
    return ComparedWith(
        overlap_mm=overlap_mm(half, radius_mm=radius),
        half_space_n_per_mm=half_space_load_n_per_mm(half, plane_modulus_mpa=nip.plane_modulus_mpa, radius_mm=radius),
        thin_n_per_mm=thin,
    )


def _notes(pair: Pair, found: Squeeze[float]) -> Iterator[Problem]:
    thickness = sum(body.cover.thickness_mm for body in (pair.a, pair.b) if body.cover is not None)
    if found.engagement_mm > SMALL_STRAIN * thickness:
        part = 100.0 * found.engagement_mm / thickness
        yield Problem("squeeze-strains-large", {"engagement": found.engagement_mm, "percent": part})
    smaller = 0.5 * min(pair.a.diameter_mm, pair.b.diameter_mm)
    if 0.5 * found.stripe_mm > FLAT_STRIPE * smaller:
        yield Problem("stripe-not-flat", {"stripe": found.stripe_mm, "radius": smaller})


def _band(question: StripeQuestion, found: Squeeze[float]) -> tuple[Squeeze[float], Squeeze[float]]:
    """Each input one standard deviation up and down on its own; what moves the same way adds in squares."""
    names = [known.value for known in Known]
    downs, ups = dict.fromkeys(names, 0.0), dict.fromkeys(names, 0.0)
    for pair in _varied(question):
        other = squeeze(pair.nip, question.known, question.value)
        for name in names:
            change = getattr(other, name) - getattr(found, name)
            side = ups if change > 0 else downs
            side[name] += change * change
    low = {name: max(getattr(found, name) - math.sqrt(downs[name]), 0.0) for name in names}
    high = {name: getattr(found, name) + math.sqrt(ups[name]) for name in names}
    return replace(found, **low), replace(found, **high)


def _varied(question: StripeQuestion) -> Iterator[Pair]:
    """The pair with one input of one body changed at a time, as far as a body stays possible."""
    pair = question.pair
    for a in _bodies_near(pair.a, question.unsure):
        yield replace(pair, a=a)
    for b in _bodies_near(pair.b, question.unsure):
        yield replace(pair, b=b)


def _bodies_near(body: Body, unsure: Unsure) -> Iterator[Body]:
    cover = body.cover
    if cover is None:
        return
    for sign in (1.0, -1.0):
        harder = cover.hardness_shore_a + sign * unsure.hardness_shore_a
        yield body.at_hardness(min(max(harder, 0.0), 95.0))
        if unsure.thickness_mm > 0.0:
            thicker = cover.thickness_mm + sign * unsure.thickness_mm
            most = 0.45 * body.diameter_mm
            yield replace(body, cover=replace(cover, thickness_mm=min(max(thicker, 0.5 * cover.thickness_mm), most)))
        if unsure.diameter_mm > 0.0:
            yield replace(body, diameter_mm=max(body.diameter_mm + sign * unsure.diameter_mm, 2.5 * cover.thickness_mm))
