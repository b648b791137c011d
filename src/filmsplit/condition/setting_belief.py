"""What is believed of a group of contacts: how far each end is engaged, and what each adjuster really does.

Given the turns, the engagements after them are linear in the engagements before and in the gains. So one Gaussian
belief over both is exact: a reading sharpens it (Kalman, Trans. ASME J. Basic Eng. 82 (1960) 35), a turn carries it on,
and the next reading teaches the gains. Engagements are those at the temperature where the target holds, so that a
reading near it owes nothing to how much covers grow.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from filmsplit.condition.measuring import STRIPE_MM
from filmsplit.condition.setting_group import GAIN_SIGMA, GroupContact, SetGroup, Side
from filmsplit.condition.setting_targets import Temperatures, pair_at
from filmsplit.condition.stripe_shape import StripeRead
from filmsplit.contact.nip import Known, squeeze, stripe_range_mm
from filmsplit.contact.rollers import Pair, radius_gain_mm
from filmsplit.numerics.log_curve import Array

TURN_SIGMA_DEG = 1.0
"""How exactly a hand turns: a millimetre or two at the end of a key of 100 mm (geometry; the error is invented)."""
LOST_PART = 0.5
"""Part of its backlash that an adjuster loses at its first turn, on average: nobody knows on which side it stood."""
GROWTH_PART = 0.2
"""How far a cover's growth is off what is worked out, as a part of it: compounds differ (invented default)."""
ENGAGED_MM, ENGAGED_SIGMA_MM = 0.15, 0.5
"""Before anything was read: hardly anything."""

Turns = Mapping[tuple[str, Side], float]
"""Net turns towards tighter, in degrees, by contact and side."""
SIDES = (Side.OPERATOR, Side.GEAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class PassDone:
    """One pass that was made: the stripes read before it, by contact, and what was turned."""

    stripes: Mapping[str, StripeRead]
    turns: Turns


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Belief:
    """A Gaussian over two engagements for each contact, then two gains for each link of :func:`links`."""

    mean: Array
    covariance: Array


def links(group: SetGroup) -> tuple[tuple[str, str], ...]:
    """Whose adjusters move which contact: each its own first, then the couplings. Only adjusters that are known."""
    own = [(each.id, each.id) for each in group.contacts if each.handles is not None]
    known = {source for source, _ in own}
    return (*own, *((one.source, one.receiver) for one in group.couplings if one.source in known))


def believed(group: SetGroup, passes: Sequence[PassDone], now: Mapping[str, StripeRead]) -> Belief:
    """What is known after all passes and the stripes read now."""
    belief = _beforehand(group)
    for number, one in enumerate(passes):
        belief = _read(group, belief, one.stripes)
        belief = _turned(group, belief, turns=one.turns, known_flank=ever_turned(passes[:number]))
    return _read(group, belief, now)


def ever_turned(passes: Sequence[PassDone]) -> set[tuple[str, Side]]:
    """Adjusters that were turned, and so stand with their backlash on the known side."""
    return {key for one in passes for key, deg in one.turns.items() if deg}


def engagements_mm(group: SetGroup, belief: Belief, contact: str) -> Array:
    """Both ends of a contact, operator's first."""
    at = _row(group, contact)
    return belief.mean[at : at + 2]


def gains(group: SetGroup, belief: Belief, link: tuple[str, str]) -> Array:
    """Both gains of a link: 1 is what is written."""
    at = _column(group, link)
    return belief.mean[at : at + 2]


def gain_sigmas(group: SetGroup, belief: Belief, link: tuple[str, str]) -> Array:
    """How sure they are, one standard deviation."""
    at = _column(group, link)
    return np.sqrt(np.diagonal(belief.covariance)[at : at + 2])


def reach(contact: GroupContact) -> Array:
    """(2, 2): what each adjuster's move does at each end of the face; both sit outside it on one straight roller."""
    assert contact.handles is not None
    operator, gear = contact.handles
    whole = contact.face_mm + operator.overhang_mm + gear.overhang_mm
    shares = np.array([operator.overhang_mm, operator.overhang_mm + contact.face_mm]) / whole
    return np.column_stack((1.0 - shares, shares))


def _row(group: SetGroup, contact: str) -> int:
    return 2 * [each.id for each in group.contacts].index(contact)


def _column(group: SetGroup, link: tuple[str, str]) -> int:
    return 2 * len(group.contacts) + 2 * links(group).index(link)


def _beforehand(group: SetGroup) -> Belief:
    means = [ENGAGED_MM] * (2 * len(group.contacts))
    sigmas = [ENGAGED_SIGMA_MM] * (2 * len(group.contacts))
    couplings = {(one.source, one.receiver): one for one in group.couplings}
    for link in links(group):
        mean, sigma = (1.0, GAIN_SIGMA) if link not in couplings else (couplings[link].mean, couplings[link].sigma)
        means += [mean, mean]
        sigmas += [sigma, sigma]
    return Belief(mean=np.array(means), covariance=np.diag(np.square(sigmas)))


def _read(group: SetGroup, belief: Belief, stripes: Mapping[str, StripeRead]) -> Belief:
    for contact in group.contacts:
        if contact.id in stripes and contact.pair is not None:
            for seen in engaged_at(contact.pair, stripes[contact.id], temperatures=group.temperatures):
                at = _row(group, contact.id)
                row = np.zeros_like(belief.mean)
                row[at : at + 2] = (1.0 - seen.place, seen.place)
                if seen.marked or row @ belief.mean > seen.engagement_mm:
                    belief = _sharpened(belief, row, value=seen.engagement_mm, sigma=seen.sigma_mm)
    return belief


@dataclass(frozen=True, slots=True, kw_only=True)
class Engaged:
    """One place: the engagement where the target holds. Not ``marked``: the surfaces part, and it is at most that."""

    place: float
    engagement_mm: float
    sigma_mm: float
    marked: bool


def engaged_at(pair: Pair, stripe: StripeRead, *, temperatures: Temperatures) -> Iterator[Engaged]:
    """What each width says of the engagement."""
    at = pair_at(pair, at_c=stripe.temperature_c, temperatures=temperatures)
    growth = radius_gain_mm(at, pair_at(pair, at_c=temperatures.target_holds_c, temperatures=temperatures))
    for place, width in zip(stripe.along, stripe.widths_mm, strict=True):
        low, value, high = (_engagement_mm(at, wide) for wide in (width - STRIPE_MM, width, width + STRIPE_MM))
        yield Engaged(
            place=place,
            engagement_mm=value + growth,
            sigma_mm=math.hypot(0.5 * (high - low), GROWTH_PART * growth),
            marked=width > 0.0,
        )


def _engagement_mm(pair: Pair, width_mm: float) -> float:
    """Marks finer than the law begins with count as its finest: hardly a touch."""
    return squeeze(pair.nip, Known.STRIPE, max(width_mm, stripe_range_mm(pair.nip)[0])).engagement_mm


def _sharpened(belief: Belief, row: Array, *, value: float, sigma: float) -> Belief:
    seen = belief.covariance @ row
    weight = seen / (row @ seen + sigma * sigma)
    return Belief(
        mean=belief.mean + weight * (value - row @ belief.mean),
        covariance=belief.covariance - np.outer(weight, seen),
    )


def _turned(group: SetGroup, belief: Belief, *, turns: Turns, known_flank: set[tuple[str, Side]]) -> Belief:
    """A turn carried out: finished tightening, so only the first of an adjuster may lose part of its backlash."""
    step = np.eye(len(belief.mean))
    noise = np.zeros_like(belief.covariance)
    for source in group.contacts:
        if source.handles is None:
            continue
        for index, (side, handle) in enumerate(zip(SIDES, source.handles, strict=True)):
            turned = turns.get((source.id, side), 0.0)
            if turned == 0.0:
                continue
            lost = 0.0 if (source.id, side) in known_flank else handle.backlash_deg
            moved = (turned - LOST_PART * lost) * handle.mm_per_deg
            variance = (TURN_SIGMA_DEG**2 + lost**2 / 12.0) * handle.mm_per_deg**2
            felt = _felt(group, belief, source=source, index=index)
            noise += variance * np.outer(felt, felt)
            for link in links(group):
                if link[0] == source.id:
                    at, column = _row(group, link[1]), _column(group, link) + index
                    step[at : at + 2, column] += reach(source)[:, index] * moved
    return Belief(mean=step @ belief.mean, covariance=step @ belief.covariance @ step.T + noise)


def _felt(group: SetGroup, belief: Belief, *, source: GroupContact, index: int) -> Array:
    """What a millimetre at one adjuster does to every engagement, by the gains believed."""
    felt = np.zeros_like(belief.mean)
    for link in links(group):
        if link[0] == source.id:
            at = _row(group, link[1])
            felt[at : at + 2] += reach(source)[:, index] * gains(group, belief, link)[index]
    return felt
