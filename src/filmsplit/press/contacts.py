"""Contacts between members of a train, and what adjusts them."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.press.rows import Only, row
from filmsplit.press.words import AdjusterKind, ContactKind, SlipDirection, TargetSource, TurnSense

CYLINDER_IDS = ("plate", "blanket", "impression")
"""Names that stand for the unit's cylinders wherever a roller id may stand."""

_SCREW = Only("kind", (AdjusterKind.SCREW,))
_NOT_SCREW = Only("kind", (AdjusterKind.ECCENTRIC, AdjusterKind.LEVER))
_SLIPS = Only("kind", (ContactKind.SLIPS,))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stripe:
    """The stripe this contact should show."""

    target_mm: float = row(
        "target width", unit="mm", low=0.1, high=40, assumed=3.5, spread=0.7, counts_for=("setting",)
    )
    source: TargetSource = row("where the target comes from", assumed=TargetSource.COMMON_PRACTICE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjuster:
    """What moves one end of a contact."""

    kind: AdjusterKind = row("screw, eccentric or lever", assumed=AdjusterKind.SCREW, counts_for=("setting",))
    mm_per_turn: float | None = row(
        "movement per turn of a screw", unit="mm", low=0.001, high=50, only=_SCREW, counts_for=("setting",)
    )
    mm_per_deg: float | None = row(
        "movement per degree of an eccentric or lever",
        unit="mm",
        low=0.00001,
        high=5,
        only=_NOT_SCREW,
        counts_for=("setting",),
    )
    tightens: TurnSense | None = row("which way tightens, looking at the adjuster", counts_for=("setting",))
    backlash_deg: float | None = row("lost motion on reversing", unit="deg", low=0, high=720)
    travel_left_mm: float | None = row("adjustment left towards tighter", unit="mm", low=0, high=100)
    overhang_mm: float = row(
        "distance outside the end of the face", unit="mm", low=-500, high=500, assumed=20.0, spread=10.0
    )
    also_moves: str | None = row("the other contact it moves, as 'F1/D1'")


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjusters:
    """The adjusters at the two ends."""

    operator: Adjuster | None = row("operator side")
    gear: Adjuster | None = row("gear side")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Where two members meet. ``a`` and ``b`` are roller ids, or plate, blanket, impression."""

    a: str = row("one member", required=True)
    b: str = row("the other member", required=True)
    kind: ContactKind = row("rolls, slips, or touches at times", assumed=ContactKind.ROLLS, source="rolling is usual")
    speed_ratio: float | None = row(
        "slipping contact: surface speed of a ÷ surface speed of b",
        low=0.0001,
        high=100,
        counts_for=("ink",),
        only=_SLIPS,
    )
    slip_direction: SlipDirection = row(
        "slipping contact: surfaces run the same or opposite ways in the nip", assumed=SlipDirection.SAME, only=_SLIPS
    )
    throws_off: bool = row("can this contact be thrown off from the controls", assumed=False)
    stripe: Stripe = row("stripe target", assumed={})
    adjusters: Adjusters = row("what adjusts it", assumed={})

    @property
    def id(self) -> str:
        """The name of the contact: its two members in the order written."""
        return f"{self.a}/{self.b}"

    def other(self, member: str) -> str:
        """The member that meets ``member`` here."""
        return self.b if member == self.a else self.a

    def joins(self, member: str) -> bool:
        return member in (self.a, self.b)
