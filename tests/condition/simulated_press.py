"""A press to try settings on, written apart from what advises: another formula for the stripe, play as a real gap.

Nothing of `filmsplit` is used but the description of the press, as a person at the press has it. What is invented about
presses stands in :class:`Habit`.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from filmsplit.condition.setting_group import GroupContact, SetGroup, Side

OPERATOR, GEAR = Side.OPERATOR, Side.GEAR
FELT_MM = 0.05
"""A mark narrower than this is not seen."""


def engagement_mm(stripe_mm: float, *, cover_mm: float, radius_mm: float) -> float:
    """A power law through the figures at 3 to 5 mm of 50 on 60 and of 60 on a plate of 180 (test_setting holds it)."""
    return 0.280 * (stripe_mm / 4.0) ** 1.55 * (cover_mm / 10.0) ** 0.455 * (13.6 / radius_mm)


def stripe_mm(engaged_mm: float, *, cover_mm: float, radius_mm: float) -> float:
    """The same the other way round; 0 where the surfaces part."""
    at_4 = engagement_mm(4.0, cover_mm=cover_mm, radius_mm=radius_mm)
    return 4.0 * (engaged_mm / at_4) ** (1.0 / 1.55) if engaged_mm > 0.0 else 0.0


KEY_MM = 100.0
"""Length of the key or lever that turns an adjuster; a hand stops ``hand_mm`` off at its end."""


@dataclass(frozen=True, kw_only=True)
class Habit:
    """How far presses of a kind are off what is written of them, and how people read and turn."""

    gain_spread: float = 0.25
    common_gain_spread: float = 0.0
    backlash: tuple[float, float] = (0.5, 2.0)
    coupling_spread: float = 0.25
    cover_spread_mm: float = 0.8
    expansion: tuple[float, float] = (1.4e-4, 2.6e-4)
    bow_mm: float = 0.008
    first_stripes_mm: tuple[float, float] = (1.5, 6.5)
    reading_mm: float = 0.2
    places: int = 3
    hand_mm: float = 1.0
    thermometer_k: float = 1.0
    cold_c: tuple[float, float] = (18.0, 24.0)
    warm_c: tuple[float, float] = (30.0, 38.0)


HABITS: Mapping[str, Habit] = {
    "as written, read well": Habit(gain_spread=0.1, coupling_spread=0.1, reading_mm=0.1, places=5),
    "usual": Habit(places=5),
    "usual, three places": Habit(),
    "far off what is written": Habit(gain_spread=0.4, coupling_spread=0.4, cover_spread_mm=1.5, places=5),
    "all adjusters weaker or stronger": Habit(gain_spread=0.1, common_gain_spread=0.35, places=5),
    "much play": Habit(backlash=(1.0, 3.0), places=5),
    "more play than anyone expects": Habit(backlash=(2.0, 5.0), places=5),
    "rough readings": Habit(reading_mm=0.3, places=5),
    "a rough hand": Habit(hand_mm=3.0, places=5),
}
"""Kinds of presses. Gains, play and coupling are unknown to the one who turns in all of them."""


@dataclass
class Screw:
    """One adjuster: the knob at ``knob_deg`` drags the nut along as soon as the play is used up."""

    mm_per_deg: float
    play_deg: float
    overhang_mm: float
    knob_deg: float = 0.0
    nut_deg: float = 0.0

    def turn(self, degrees: float) -> float:
        """Turn the knob towards tighter (easier where negative); the move in mm that comes of it."""
        before = self.nut_deg
        self.knob_deg += degrees
        self.nut_deg = min(max(self.nut_deg, self.knob_deg - self.play_deg), self.knob_deg)
        return (self.nut_deg - before) * self.mm_per_deg


@dataclass
class TrueContact:
    """What no one can see of a contact. ``ends_mm``: engagement when cold, operator's and gear side."""

    written: GroupContact
    cover_mm: float
    radius_mm: float
    expansion: float
    bow_mm: float
    ends_mm: list[float]
    screws: tuple[Screw, Screw]
    coupled: Mapping[str, tuple[float, float]] = field(default_factory=dict)

    def stripe_at(self, place: float, *, warming_k: float) -> float:
        engaged = (1.0 - place) * self.ends_mm[0] + place * self.ends_mm[1]
        engaged += self.bow_mm * 4.0 * place * (1.0 - place) + 3.0 * self.expansion * warming_k * self.cover_mm
        return stripe_mm(engaged, cover_mm=self.cover_mm, radius_mm=self.radius_mm)

    def moved(self, operator_mm: float, gear_mm: float) -> tuple[float, float]:
        """What moves at the two screws do at the two ends of the face: one straight line through both screws."""
        first, last = -self.screws[0].overhang_mm, self.written.face_mm + self.screws[1].overhang_mm
        slope = (gear_mm - operator_mm) / (last - first)
        return operator_mm - slope * first, operator_mm + slope * (self.written.face_mm - first)


class SimulatedPress:
    """A group of contacts with its true sizes drawn from a habit."""

    def __init__(self, group: SetGroup, habit: Habit, *, seed: int) -> None:
        self.group, self.habit, self.chance = group, habit, random.Random(seed)
        self.common = math.exp(self.chance.gauss(0.0, habit.common_gain_spread))
        self.contacts = {each.id: self._draw(each) for each in group.contacts}

    def read(self, contact: str, *, warm: bool) -> tuple[tuple[float, ...], tuple[float, ...], float]:
        """Widths as a person reads them, to a tenth, where along the face, and the temperature told."""
        habit, true = self.habit, self.contacts[contact]
        temperature = self.chance.uniform(*(habit.warm_c if warm else habit.cold_c))
        places = tuple(0.06 + 0.88 * n / (habit.places - 1) for n in range(habit.places))
        widths = [true.stripe_at(place, warming_k=temperature - self._cold) for place in places]
        seen = [
            round(max(w + self.chance.gauss(0.0, habit.reading_mm), 0.1), 1) if w > FELT_MM else 0.0 for w in widths
        ]
        return tuple(seen), places, temperature + self.chance.gauss(0.0, habit.thermometer_k)

    def turn(self, contact: str, side: Side, *, ease_deg: float, tighten_deg: float) -> None:
        """Ease, then tighten, each as exactly as a hand does it."""
        if ease_deg == tighten_deg == 0:
            return
        true, index = self.contacts[contact], (OPERATOR, GEAR).index(side)
        screw = true.screws[index]
        error = math.degrees(self.chance.gauss(0.0, self.habit.hand_mm) / KEY_MM)
        move = (screw.turn(-ease_deg) if ease_deg else 0.0) + screw.turn(tighten_deg + error)
        for receiver, strengths in {contact: (1.0, 1.0), **true.coupled}.items():
            shares = [0.0, 0.0]
            shares[index] = move * strengths[index]
            ends = self.contacts[receiver].ends_mm
            for end, change in enumerate(true.moved(*shares)):
                ends[end] += change

    def worst_off_mm(self) -> float:
        """The worst of all: an end or the middle off its target, or one end off the other, where the target holds."""
        warming = self.group.temperatures.target_holds_c - self._cold
        worst = 0.0
        for true in self.contacts.values():
            stripes = [true.stripe_at(place, warming_k=warming) for place in (0.06, 0.5, 0.94)]
            off = [abs(stripe - true.written.target_mm) for stripe in stripes]
            worst = max(worst, *off, abs(stripes[0] - stripes[-1]))
        return worst

    @property
    def _cold(self) -> float:
        return self.group.temperatures.cold_c

    def _draw(self, written: GroupContact) -> TrueContact:
        assert written.pair is not None
        assert written.handles is not None
        habit, chance, pair = self.habit, self.chance, written.pair
        cover = sum(body.cover.thickness_mm for body in (pair.a, pair.b) if body.cover is not None)
        true_cover = max(cover + chance.gauss(0.0, habit.cover_spread_mm), 0.5 * cover)
        radius = 0.5 / (1.0 / pair.a.diameter_mm + 1.0 / pair.b.diameter_mm)
        middle = chance.uniform(*habit.first_stripes_mm)
        stripes = [max(middle + chance.gauss(0.0, 0.7), 0.8) for _ in range(2)]
        return TrueContact(
            written=written,
            cover_mm=true_cover,
            radius_mm=radius,
            expansion=chance.uniform(*habit.expansion),
            bow_mm=chance.gauss(0.0, habit.bow_mm),
            ends_mm=[engagement_mm(width, cover_mm=true_cover, radius_mm=radius) for width in stripes],
            screws=(self._screw(written, 0), self._screw(written, 1)),
            coupled=self._coupled(written.id),
        )

    def _screw(self, written: GroupContact, index: int) -> Screw:
        assert written.handles is not None
        handle = written.handles[index]
        play = handle.backlash_deg * self.chance.uniform(*self.habit.backlash)
        return Screw(
            mm_per_deg=handle.mm_per_deg * self.common * math.exp(self.chance.gauss(0.0, self.habit.gain_spread)),
            play_deg=play,
            overhang_mm=handle.overhang_mm + self.chance.gauss(0.0, 4.0),
            knob_deg=self.chance.uniform(0.0, play),
        )

    def _coupled(self, source: str) -> Mapping[str, tuple[float, float]]:
        spread: Sequence[float] = (self.habit.coupling_spread,) * 2
        return {
            one.receiver: (one.mean + self.chance.gauss(0.0, spread[0]), one.mean + self.chance.gauss(0.0, spread[1]))
            for one in self.group.couplings
            if one.source == source
        }
