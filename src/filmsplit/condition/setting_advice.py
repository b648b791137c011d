"""What to turn and by how much: both ends of every contact of a group at once, half of the travel left at most.

Every move is finished tightening, so that backlash always lies on the same side. Where the cover's thickness or what
the adjuster does is unknown, only the direction is told; where a shape is not one that turning cures, nothing is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from filmsplit.condition.setting_belief import (
    LOST_PART,
    SIDES,
    Belief,
    PassDone,
    believed,
    engagements_mm,
    ever_turned,
    gain_sigmas,
    gains,
    links,
    of_now,
    reach,
    reads_since_turned,
)
from filmsplit.condition.setting_group import GroupContact, SetGroup, Side
from filmsplit.condition.setting_targets import TOLERANCE_MM, pair_at, stripe_at_mm
from filmsplit.condition.stripe_shape import Shape, ShapeFound, StripeRead, mean_read, shapes_of
from filmsplit.contact.nip import Known, Nip, squeeze, stripe_range_mm
from filmsplit.messages import Problem, Refusal, label
from filmsplit.numerics.log_curve import Array
from filmsplit.press.words import TurnSense

PART_OF_TRAVEL = 0.5
"""At most so much of the travel an adjuster has left, in one pass."""
BLIND_MM = 0.2
"""At most so much towards tighter where nobody knows the travel left (invented default)."""
STEP_DEG = 0.5
"""Turns are told in such steps: a coarse eccentric moves a plate stripe by half a millimetre a degree."""
AIM_PART = 0.4
"""A contact is turned as well where all readings together put an end so much of the tolerance off (invented)."""
PAST_BACKLASH = 3.0
"""An easing goes so many backlashes too far and comes back tightening: the true backlash may be larger than written. So
does the first turn of an adjuster, either way: nobody knows on which side of its play it stood."""
PLAUSIBLE_GAIN = (0.3, 3.0)
"""An adjuster that moves less or more of what is written than this is not described rightly, or not held (invented)."""


class Way(Enum):
    """Which way one end has to go."""

    CLOSER = "closer"
    APART = "apart"
    LEAVE = "leave"

    @property
    def text(self) -> str:
        return label(f"setting_way.{self.value}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One adjuster: first ease by ``ease_deg``, then tighten by ``tighten_deg``. ``tightens``: which way that is.

    ``closer_mm`` is the move at the adjuster by what is written of it, ``gain`` what was learned it does of that.
    """

    side: Side
    ease_deg: float
    tighten_deg: float
    closer_mm: float
    tightens: TurnSense | None
    gain: float
    gain_sigma: float

    @property
    def net_deg(self) -> float:
        return self.tighten_deg - self.ease_deg


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactAdvice:
    """One contact: its shape, which way each end goes, by how many mm, and the turns; ``None`` where not to be told.

    ``target_mm`` is the target at the temperature of the reading.
    """

    contact: str
    target_mm: float
    shapes: tuple[ShapeFound, ...]
    ways: tuple[Way, Way] | None
    closer_mm: tuple[float, float] | None
    turns: tuple[Turn, Turn] | None
    notes: tuple[Problem, ...]

    @property
    def right(self) -> bool:
        """Whether it shows what it should, at every place read."""
        return all(found.shape is Shape.EVEN for found in self.shapes)


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingAdvice:
    """Advice on the contacts of a group that were read. ``part``: how much of the whole way this pass goes."""

    contacts: tuple[ContactAdvice, ...]
    withheld: tuple[Problem, ...] = ()
    notes: tuple[Problem, ...] = ()
    part: float = 1.0

    @property
    def right(self) -> bool:
        """Whether every contact read is right. Nothing is right where advice is withheld or nothing was read."""
        return not self.withheld and bool(self.contacts) and all(each.right for each in self.contacts)

    @property
    def turns(self) -> Mapping[tuple[str, Side], float]:
        """What is to be turned, net, as :class:`PassDone` takes it."""
        return {(each.contact, turn.side): turn.net_deg for each in self.contacts for turn in each.turns or ()}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Planned:
    """Moves in mm at the adjusters, two for each contact that is turned, and the part of the way they go."""

    moves_mm: Mapping[str, Array]
    part: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Reckoned:
    """What advice on one contact rests on. ``off``: contacts to be turned; ``solvable``: those known in numbers."""

    group: SetGroup
    belief: Belief
    plan: _Planned
    off: set[str]
    solvable: Sequence[GroupContact]
    flank: set[tuple[str, Side]]


def advise(
    group: SetGroup,
    stripes: Mapping[str, StripeRead],
    *,
    passes: Sequence[PassDone] = (),
    withheld: Sequence[Problem] = (),
    tolerance_mm: float = TOLERANCE_MM,
) -> SettingAdvice:
    """What the stripes read now call for, after the passes already made. Refuses contacts that are not of the group.

    A stripe read again with nothing turned between (a pass without turns) is judged by the mean of its readings.
    ``withheld``: why a roller may not be set (:func:`setting_allowed.withheld`); shapes are told, moves are not.
    """
    strangers = sorted(set(stripes) - {each.id for each in group.contacts})
    if strangers or not stripes:
        known = ", ".join(each.id for each in group.contacts)
        raise Refusal(Problem("setting-stripes-do-not-fit", {"names": ", ".join(strangers) or "–", "known": known}))
    made = of_now(passes)
    shown = {id: mean_read(reads_since_turned(id, made, stripe)) for id, stripe in stripes.items()}
    read = [each for each in group.contacts if each.id in shown]
    seen = [(each, _shapes(group, each, shown[each.id], tolerance_mm=tolerance_mm)) for each in read]
    barred = [*withheld, *_barred(seen)]
    if barred:
        return SettingAdvice(
            contacts=tuple(_only_shape(group, contact, shown[contact.id], shapes=found) for contact, found in seen),
            withheld=tuple(barred),
        )
    belief = believed(group, passes, stripes)
    solvable = [contact for contact, _ in seen if _in_numbers(contact, stripes, passes=made)]
    strange = list(_strange(group, belief, solvable))
    off = {contact.id for contact, found in seen if any(one.shape is not Shape.EVEN for one in found)}
    off |= {contact.id for contact in solvable if _drifted(group, belief, contact, band_mm=AIM_PART * tolerance_mm)}
    plan = _plan(group, belief, turned=[] if strange else _turned(group, solvable, off=off), passes=passes)
    reckoned = _Reckoned(group=group, belief=belief, plan=plan, off=off, solvable=solvable, flank=ever_turned(passes))
    return SettingAdvice(
        contacts=tuple(_advice(reckoned, contact, stripe=shown[contact.id], shapes=found) for contact, found in seen),
        notes=(*strange, *_notes(group, stripes, plan)),
        part=plan.part,
    )


def target_at_mm(group: SetGroup, contact: GroupContact, *, temperature_c: float) -> float:
    """The target as it looks at a temperature; the written one where its cover is unknown. 0: they should not touch."""
    if contact.pair is None:
        return contact.target_mm
    found = stripe_at_mm(contact.pair, target_mm=contact.target_mm, at_c=temperature_c, temperatures=group.temperatures)
    return 0.0 if found is None else found


def _shapes(
    group: SetGroup, contact: GroupContact, stripe: StripeRead, *, tolerance_mm: float
) -> tuple[ShapeFound, ...]:
    target = target_at_mm(group, contact, temperature_c=stripe.temperature_c)
    return shapes_of(stripe, target_mm=target, tolerance_mm=tolerance_mm)


def _barred(seen: Sequence[tuple[GroupContact, tuple[ShapeFound, ...]]]) -> Iterator[Problem]:
    for contact, found in seen:
        for one in found:
            if not one.shape.is_set:
                yield Problem("setting-shape-not-set", {"contact": contact.id, "shape": one.shape.value})


def _only_shape(
    group: SetGroup, contact: GroupContact, stripe: StripeRead, *, shapes: tuple[ShapeFound, ...]
) -> ContactAdvice:
    return ContactAdvice(
        contact=contact.id,
        target_mm=target_at_mm(group, contact, temperature_c=stripe.temperature_c),
        shapes=shapes,
        ways=None,
        closer_mm=None,
        turns=None,
        notes=(),
    )


def _in_numbers(contact: GroupContact, now: Mapping[str, StripeRead], *, passes: Sequence[PassDone]) -> bool:
    """A line along the face needs two marks; once it had them, what was turned since is reckoned on."""
    read = [stripes[contact.id] for stripes in (now, *(one.stripes for one in passes)) if contact.id in stripes]
    return contact.pair is not None and any(sum(width > 0.0 for width in one.widths_mm) >= 2 for one in read)


def _strange(group: SetGroup, belief: Belief, solvable: Sequence[GroupContact]) -> Iterator[Problem]:
    low, high = PLAUSIBLE_GAIN
    for contact in solvable:
        if contact.handles is not None:
            for side, gain in zip(SIDES, gains(group, belief, (contact.id, contact.id)), strict=True):
                if not low <= gain <= high:
                    values = {"contact": contact.id, "side": side.text, "gain": round(float(gain), 2)}
                    yield Problem("setting-adjuster-strange", values)


def _drifted(group: SetGroup, belief: Belief, contact: GroupContact, *, band_mm: float) -> bool:
    """Whether all readings together put an end further off its target than this one reading can tell."""
    nip, right = _held_at(group, contact), _right_mm(group, contact)
    low = squeeze(nip, Known.STRIPE, max(contact.target_mm - band_mm, stripe_range_mm(nip)[0])).engagement_mm
    high = squeeze(nip, Known.STRIPE, contact.target_mm + band_mm).engagement_mm
    wanted = _wanted_mm(group, belief, contact)
    return bool((right - wanted < low).any() or (right - wanted > high).any())


def _turned(group: SetGroup, solvable: Sequence[GroupContact], *, off: set[str]) -> list[GroupContact]:
    """The contacts that are turned: those that are off, and those that turning them would put off."""
    able = [each for each in solvable if each.handles is not None]
    chosen = {each.id for each in able if each.id in off}
    for _ in able:
        chosen |= {
            receiver for source, receiver in links(group) if source in chosen and receiver in {a.id for a in able}
        }
    return [each for each in able if each.id in chosen]


def _plan(group: SetGroup, belief: Belief, *, turned: Sequence[GroupContact], passes: Sequence[PassDone]) -> _Planned:
    """All moves from one set of equations; then the whole way shortened until no adjuster goes beyond its half."""
    if not turned:
        return _Planned(moves_mm={}, part=1.0)
    ids = [each.id for each in turned]
    effect = np.zeros((2 * len(ids), 2 * len(ids)))
    for source, receiver in links(group):
        if source in ids and receiver in ids:
            block = reach(group.contact(source)) * gains(group, belief, (source, receiver))
            row, column = 2 * ids.index(receiver), 2 * ids.index(source)
            effect[row : row + 2, column : column + 2] += block
    wanted = np.concatenate([_wanted_mm(group, belief, each) for each in turned])
    moves = np.linalg.lstsq(effect, wanted, rcond=1e-6)[0].reshape(-1, 2)
    moves += [_lost_mm(each, ever_turned(passes)) for each in turned]
    part = min(
        (one for each, move in zip(turned, moves, strict=True) for one in _parts(each, move, passes)), default=1.0
    )
    return _Planned(moves_mm={id: part * move for id, move in zip(ids, moves, strict=True)}, part=part)


def _wanted_mm(group: SetGroup, belief: Belief, contact: GroupContact) -> Array:
    """How much closer each end has to come."""
    return np.asarray(_right_mm(group, contact) - engagements_mm(group, belief, contact.id))


def _right_mm(group: SetGroup, contact: GroupContact) -> float:
    """The engagement that leaves the target where it holds."""
    return squeeze(_held_at(group, contact), Known.STRIPE, contact.target_mm).engagement_mm


def _held_at(group: SetGroup, contact: GroupContact) -> Nip:
    assert contact.pair is not None
    return pair_at(contact.pair, at_c=group.temperatures.target_holds_c, temperatures=group.temperatures).nip


def _lost_mm(contact: GroupContact, turned: set[tuple[str, Side]]) -> list[float]:
    """What the first turn of each adjuster loses on average."""
    assert contact.handles is not None
    pairs = zip(SIDES, contact.handles, strict=True)
    return [0.0 if (contact.id, s) in turned else LOST_PART * h.backlash_deg * h.mm_per_deg for s, h in pairs]


def _parts(contact: GroupContact, moves: Array, passes: Sequence[PassDone]) -> Iterator[float]:
    for side, move in zip(SIDES, moves, strict=True):
        left = _travel_left_mm(contact, side, passes)
        most = BLIND_MM if left is None else PART_OF_TRAVEL * max(left, 0.0)
        yield min(1.0, most / move) if move > 0.0 else 1.0


def _travel_left_mm(contact: GroupContact, side: Side, passes: Sequence[PassDone]) -> float | None:
    """What was left towards tighter, less what the passes took of it."""
    assert contact.handles is not None
    handle = contact.handles[SIDES.index(side)]
    if handle.travel_left_mm is None:
        return None
    return handle.travel_left_mm - sum(one.turns.get((contact.id, side), 0.0) for one in passes) * handle.mm_per_deg


def _advice(
    known: _Reckoned, contact: GroupContact, *, stripe: StripeRead, shapes: tuple[ShapeFound, ...]
) -> ContactAdvice:
    group, off = known.group, contact.id in known.off
    target = target_at_mm(group, contact, temperature_c=stripe.temperature_c)
    solved = contact in known.solvable
    wanted = _wanted_mm(group, known.belief, contact) if solved else None
    moves = known.plan.moves_mm.get(contact.id)
    return ContactAdvice(
        contact=contact.id,
        target_mm=target,
        shapes=shapes,
        ways=_ways(stripe, target_mm=target) if off else (Way.LEAVE, Way.LEAVE),
        closer_mm=None if wanted is None else (float(wanted[0]), float(wanted[1])),
        turns=None if moves is None else _turns(group, known.belief, contact=contact, moves=moves, flank=known.flank),
        notes=contact.why if solved or contact.pair is None else (*contact.why, _no_line(contact)),
    )


def _no_line(contact: GroupContact) -> Problem:
    return Problem("setting-hardly-touches", {"contact": contact.id})


def _ways(stripe: StripeRead, *, target_mm: float) -> tuple[Way, Way]:
    """By the ends alone, finer than the tolerance: half of it from end to end is left as it is."""

    def way(width: float) -> Way:
        if abs(width - target_mm) <= 0.5 * TOLERANCE_MM:
            return Way.LEAVE
        return Way.CLOSER if width < target_mm else Way.APART

    return way(stripe.widths_mm[0]), way(stripe.widths_mm[-1])


def _turns(
    group: SetGroup, belief: Belief, *, contact: GroupContact, moves: Array, flank: set[tuple[str, Side]]
) -> tuple[Turn, Turn]:
    assert contact.handles is not None
    own = (contact.id, contact.id)
    sigmas = gain_sigmas(group, belief, own)
    made = []
    for index, (side, handle) in enumerate(zip(SIDES, contact.handles, strict=True)):
        net = STEP_DEG * round(float(moves[index]) / handle.mm_per_deg / STEP_DEG)
        eases = net < 0 or (net > 0 and (contact.id, side) not in flank)
        past = float(round(PAST_BACKLASH * handle.backlash_deg)) if eases else 0.0
        made.append(
            Turn(
                side=side,
                ease_deg=past + max(-net, 0.0),
                tighten_deg=past + max(net, 0.0),
                closer_mm=net * handle.mm_per_deg,
                tightens=handle.tightens,
                gain=float(gains(group, belief, own)[index]),
                gain_sigma=float(sigmas[index]),
            )
        )
    return made[0], made[1]


def _notes(group: SetGroup, stripes: Mapping[str, StripeRead], plan: _Planned) -> Iterator[Problem]:
    if plan.part < 1.0:
        yield Problem("setting-half-the-travel", {"percent": round(100.0 * plan.part)})
    for coupling in group.couplings:
        if coupling.receiver not in stripes and coupling.source in plan.moves_mm:
            yield Problem("setting-also-moves", {"contact": coupling.source, "other": coupling.receiver})
