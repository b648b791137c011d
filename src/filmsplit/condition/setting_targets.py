"""The stripe a contact should show when it is read cold, and when it is read warm: one setting, two widths.

A cover grows as it warms, with the axes left where they are. So one of the two widths is the target, and the other
follows from the cover's thickness.
"""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.contact.changes import warmed
from filmsplit.contact.nip import Known, squeeze
from filmsplit.contact.rollers import Pair, at_fixed_centres

TOLERANCE_MM = 0.5
"""To either side of the target, and from end to end (common practice; the press manual's comes first)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperatures:
    """Cover temperatures. ``target_holds_c``: where the written target is meant to be true.

    A press manual rarely says. Targets are taken as those of the running press, so that a cold setting does not run
    tight and hot; rooms of 20 and rollers of 35 C are usual (common practice).
    """

    cold_c: float = 20.0
    warm_c: float = 35.0
    target_holds_c: float = 35.0


USUAL_TEMPERATURES = Temperatures()


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeTargets:
    """One setting as it looks cold and warm; ``None`` where the rollers would not touch."""

    cold_mm: float | None
    warm_mm: float | None


def stripe_targets(pair: Pair, *, target_mm: float, temperatures: Temperatures) -> StripeTargets:
    """The target as it has to look cold and warm. ``pair`` is described at the cold temperature."""
    return StripeTargets(
        cold_mm=stripe_at_mm(pair, target_mm=target_mm, at_c=temperatures.cold_c, temperatures=temperatures),
        warm_mm=stripe_at_mm(pair, target_mm=target_mm, at_c=temperatures.warm_c, temperatures=temperatures),
    )


def stripe_at_mm(pair: Pair, *, target_mm: float, at_c: float, temperatures: Temperatures) -> float | None:
    """How wide a contact that is set right is at a temperature; ``None`` where the rollers do not touch."""
    where = pair_at(pair, at_c=at_c, temperatures=temperatures)
    right = pair_at(pair, at_c=temperatures.target_holds_c, temperatures=temperatures)
    engagement = squeeze(right.nip, Known.STRIPE, target_mm).engagement_mm
    found = at_fixed_centres(right, where, engagement_mm=engagement)
    return None if found is None else found.stripe_mm


def pair_at(pair: Pair, *, at_c: float, temperatures: Temperatures) -> Pair:
    """The pair at another temperature than the cold one at which it was measured."""
    warming = at_c - temperatures.cold_c
    a, b = (warmed(body, warming_k=warming) for body in (pair.a, pair.b))
    return Pair(a=a, b=b, correlation=pair.correlation)
