"""What is believed of a group of contacts: how far each end is engaged, and what each adjuster really does.

Given the turns, the engagements after them are linear in the engagements before and in the gains. So one Gaussian
belief over both is exact: a reading sharpens it (Kalman, Trans. ASME J. Basic Eng. 82 (1960) 35), a turn carries it on,
and the next reading teaches the gains. Engagements are those at the temperature where the target holds, so that a
reading near it owes nothing to how much covers grow; how much each grows is believed and learned with the rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
LOST_PART, LOST_SIGMA = 0.6, 0.45
"""Part of its written backlash that an adjuster loses at its first turn, and its deviation: it stood anywhere between
both sides of its play, and play in use is half to twice what is written (invented default)."""
THERMOMETER_K = 1.0
"""How far off a cover's temperature is read (invented default)."""
GROWTH_PART = 0.2
"""How far a cover's growth is off what is worked out, as a part of it: compounds differ (invented default)."""
ENGAGED_MM, ENGAGED_SIGMA_MM = 0.15, 0.5
"""Before anything was read: hardly anything."""

Turns = Mapping[tuple[str, Side], float]
"""Net turns towards tighter, in degrees, by contact and side."""
SIDES = (Side.OPERATOR, Side.GEAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class PassDone:
    """One pass that was made: the stripes read before it, by contact, and what was turned.

    No turns: the stripes were only read, and then read again. ``afresh``: rollers may have changed since the pass
    before; what was believed of engagements and covers no longer holds, what was learned of the adjusters does.
    """

    stripes: Mapping[str, StripeRead]
    turns: Turns
    afresh: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Belief:
    """A Gaussian over two engagements for each contact, two gains for each link of :func:`links`, then each growth.

    A growth is the part by which a contact's covers grow more than is worked out.
    """

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
        if one.afresh:
            belief = _gains_alone(group, belief)
        belief = _read(group, belief, one.stripes)
        belief = _turned(group, belief, turns=one.turns, known_flank=ever_turned(passes[:number]))
    return _read(group, belief, now)


def _gains_alone(group: SetGroup, belief: Belief) -> Belief:
    """Gains as learned; everything else as before anything was read."""
    begin = 2 * len(group.contacts)
    learned = slice(begin, begin + 2 * len(links(group)))
    fresh = _beforehand(group)
    fresh.mean[learned] = belief.mean[learned]
    fresh.covariance[learned, learned] = belief.covariance[learned, learned]
    return fresh


def of_now(passes: Sequence[PassDone]) -> Sequence[PassDone]:
    """The passes made with everything as it is now."""
    begun = [number for number, one in enumerate(passes) if one.afresh]
    return passes[begun[-1] if begun else 0 :]


def ever_turned(passes: Sequence[PassDone]) -> set[tuple[str, Side]]:
    """Adjusters that were turned, and so stand with their backlash on the known side."""
    return {key for one in passes for key, deg in one.turns.items() if deg}


def reads_since_turned(contact: str, passes: Sequence[PassDone], now: StripeRead) -> list[StripeRead]:
    """Every reading of a contact that shows it as it stands now, oldest first."""
    reads: list[StripeRead] = []
    for one in passes:
        reads = [] if any(one.turns.values()) else [*reads, *([one.stripes[contact]] if contact in one.stripes else [])]
    return [*reads, now]


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


def _growth(group: SetGroup, contact: str) -> int:
    return 2 * len(group.contacts) + 2 * len(links(group)) + [each.id for each in group.contacts].index(contact)


def _beforehand(group: SetGroup) -> Belief:
    means = [ENGAGED_MM] * (2 * len(group.contacts))
    sigmas = [ENGAGED_SIGMA_MM] * (2 * len(group.contacts))
    couplings = {(one.source, one.receiver): one for one in group.couplings}
    for link in links(group):
        mean, sigma = (1.0, GAIN_SIGMA) if link not in couplings else (couplings[link].mean, couplings[link].sigma)
        means += [mean, mean]
        sigmas += [sigma, sigma]
    means += [0.0] * len(group.contacts)
    sigmas += [GROWTH_PART] * len(group.contacts)
    return Belief(mean=np.array(means), covariance=np.diag(np.square(sigmas)))


def _read(group: SetGroup, belief: Belief, stripes: Mapping[str, StripeRead]) -> Belief:
    """All marks of a contact at once, then every place without one: a mark that is not there is an upper bound."""
    for contact in group.contacts:
        if contact.id not in stripes or contact.pair is None:
            continue
        seen = engaged_at(contact.pair, stripes[contact.id], temperatures=group.temperatures)
        belief = _sharpened(group, belief, contact=contact.id, seen=[one for one in seen if one.marked])
        for one in seen:
            operator, gear = engagements_mm(group, belief, contact.id)
            if not one.marked and (1.0 - one.place) * operator + one.place * gear > one.engagement_mm:
                belief = _sharpened(group, belief, contact=contact.id, seen=[one])
    return belief


@dataclass(frozen=True, slots=True, kw_only=True)
class Engaged:
    """One place: the engagement where the target holds. Not ``marked``: the surfaces part, and it is at most that.

    ``sigma_mm`` is this width's own error. All widths of a reading share those of its temperature: ``growth_mm`` was
    added for how covers grow from there, and ``thermometer_mm`` is what a wrongly read temperature makes of it.
    """

    place: float
    engagement_mm: float
    sigma_mm: float
    growth_mm: float
    thermometer_mm: float
    marked: bool


def engaged_at(pair: Pair, stripe: StripeRead, *, temperatures: Temperatures) -> tuple[Engaged, ...]:
    """What each width says of the engagement."""
    at, holds, warmer = (
        pair_at(pair, at_c=degrees, temperatures=temperatures)
        for degrees in (stripe.temperature_c, temperatures.target_holds_c, stripe.temperature_c + THERMOMETER_K)
    )
    growth, thermometer = radius_gain_mm(at, holds), radius_gain_mm(at, warmer)
    return tuple(
        Engaged(
            place=place,
            engagement_mm=_engagement_mm(at, width) + growth,
            sigma_mm=_sigma_mm(at, typical),
            growth_mm=growth,
            thermometer_mm=thermometer,
            marked=width > 0.0,
        )
        for place, width, typical in zip(stripe.along, stripe.widths_mm, _straight(stripe), strict=True)
    )


def _straight(stripe: StripeRead) -> Array:
    """Widths on a straight line through the marks: errors go by how wide a stripe is, not by how it was misread."""
    marks = [(place, width) for place, width in zip(stripe.along, stripe.widths_mm, strict=True) if width > 0.0]
    if len(marks) <= 2:
        return np.array(stripe.widths_mm)
    places, widths = zip(*marks, strict=True)
    return np.asarray(np.polyval(np.polyfit(places, widths, 1), stripe.along))


def _sigma_mm(pair: Pair, width_mm: float) -> float:
    """What a misread width makes of the engagement."""
    width = max(width_mm, stripe_range_mm(pair.nip)[0])
    return 0.5 * (_engagement_mm(pair, width + STRIPE_MM) - _engagement_mm(pair, width - STRIPE_MM))


def _engagement_mm(pair: Pair, width_mm: float) -> float:
    """Marks finer than the law begins with count as its finest: hardly a touch."""
    return squeeze(pair.nip, Known.STRIPE, max(width_mm, stripe_range_mm(pair.nip)[0])).engagement_mm


def _sharpened(group: SetGroup, belief: Belief, *, contact: str, seen: Sequence[Engaged]) -> Belief:
    """The belief after what was seen of a contact in one reading."""
    if not seen:
        return belief
    at = _row(group, contact)
    rows = np.zeros((len(seen), len(belief.mean)))
    rows[:, at] = [1.0 - one.place for one in seen]
    rows[:, at + 1] = [one.place for one in seen]
    rows[:, _growth(group, contact)] = [-one.growth_mm for one in seen]
    noise = np.diag([one.sigma_mm**2 for one in seen]) + seen[0].thermometer_mm ** 2
    shared = belief.covariance @ rows.T
    weights = np.linalg.solve(rows @ shared + noise, shared.T).T
    values = np.array([one.engagement_mm for one in seen])
    return Belief(
        mean=belief.mean + weights @ (values - rows @ belief.mean),
        covariance=belief.covariance - weights @ shared.T,
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
            variance = (TURN_SIGMA_DEG**2 + (LOST_SIGMA * lost) ** 2) * handle.mm_per_deg**2
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
