"""Which unknown of a press matters most for a purpose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from filmsplit.messages import Problem, label
from filmsplit.press.measures import MEASURES, Measure, Quantity
from filmsplit.press.press import Assumption, Press
from filmsplit.press.replacing import Follower, followers_of, row_at, with_assumed
from filmsplit.press.rows import Row

PURPOSES = frozenset({"marks", "ink", "setting", "drawing", "spares", "lifting", "packing"})
"""What a value can count for; the words of ``counts_for`` in the rows."""

PRACTICE: Mapping[str, tuple[str, ...]] = {
    "setting": (
        "stripe.target_mm",
        "cover.thickness_mm",
        "diameter_mm",
        "cover.hardness_shore_a",
        "tightens",
        "kind",
        "hand_wheel",
    ),
}
"""Purposes ranked by common practice, the weightiest field first (written as it ends).

Setting: the target says what to aim for; the thickness of the cover says how much a stripe grows for a given travel,
the diameters a little less; hardness changes the load but, at the same engagement, not the stripe.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RankedUnknown:
    """One unknown, the value that stands in, and what changes if that is one ``spread`` out.

    ``effect`` is ``None`` where it is not computed; the place in the list is then common practice. ``quantity`` is
    the number it changes most.
    """

    path: tuple[str, ...]
    value: Any
    unit: str
    source: str
    spread: float | None
    effect: float | None
    effect_unit: str
    quantity: Quantity | None

    def sentence(self, *, where: str) -> Problem:
        """The sentence to print wherever the value counts; ``where`` names the field in words."""
        shown = f"{_shown(self.value)} {self.unit}".strip()
        values: dict[str, object] = {"where": where, "value": shown, "source": self.source}
        if self.effect is None or self.quantity is None:
            return Problem("unknown-matters-by-practice", values, self.path)
        values |= {
            "spread": f"{self.spread:.4g} {self.unit}".strip(),
            "effect": self.effect,
            "effect_unit": self.effect_unit,
            "quantity": label(self.quantity.label_key, member=self.quantity.member, unit=self.quantity.unit),
        }
        return Problem("unknown-matters", values, self.path)


def ranked_unknowns(press: Press, purpose: str, *, measure: Measure | None = None) -> tuple[RankedUnknown, ...]:
    """The unknowns that count for ``purpose``, the weightiest first.

    The effect is the largest change of any quantity of the measure when the value is one spread up or down, all that is
    assumed from it following. ``measure`` replaces the one that stands for the purpose.
    """
    if purpose not in PURPOSES:
        raise ValueError(f"no such purpose: {purpose}")
    trial = _Trial.of(press, MEASURES.get(purpose) if measure is None else measure)
    found = [(trial.rank(about), about) for about in press.assumptions]
    counting = [unknown for unknown, about in found if unknown.effect or purpose in about.counts_for]
    order = PRACTICE.get(purpose, ())
    return tuple(sorted(counting, key=lambda one: (-(one.effect or 0.0), one.effect is None, _place(one.path, order))))


@dataclass(frozen=True, slots=True)
class _Trial:
    """A press whose values are tried out one by one: its measure, what that gives now, and what follows what."""

    press: Press
    measure: Measure | None
    before: Mapping[Quantity, float]
    followers: tuple[Follower, ...]

    @classmethod
    def of(cls, press: Press, measure: Measure | None) -> _Trial:
        return cls(press, measure, measure.quantities(press) if measure else {}, followers_of(press))

    def rank(self, about: Assumption) -> RankedUnknown:
        quantity, effect = self._largest_change(about)
        return RankedUnknown(
            path=about.path,
            value=about.value,
            unit=about.unit,
            source=about.source,
            spread=about.spread,
            effect=effect,
            effect_unit=self.measure.unit if self.measure else "",
            quantity=quantity,
        )

    def _largest_change(self, about: Assumption) -> tuple[Quantity | None, float | None]:
        """The quantity that moves most when the value is one spread out, and by how much."""
        steps = _steps(about, row_at(self.press, about.path))
        if self.measure is None or not steps:
            return None, None
        worst: tuple[Quantity | None, float] = (None, 0.0)
        for value in steps:
            changed = with_assumed(self.press, about.path, value, followers=self.followers)
            after = self.measure.quantities(changed)
            for quantity, was in self.before.items():
                change = abs(after.get(quantity, was) - was)
                worst = (quantity, change) if change > worst[1] else worst
        return (None, None) if worst[0] is None and not self.measure.sees_all else worst


def _steps(about: Assumption, row: Row) -> list[float]:
    """The value one spread up and one down, as far as a sensible value can go; none for what is no number."""
    if about.spread is None or isinstance(about.value, bool) or not isinstance(about.value, (int, float)):
        return []
    low = -float("inf") if row.low is None else row.low
    high = float("inf") if row.high is None else row.high
    return [min(max(about.value + step, low), high) for step in (about.spread, -about.spread)]


def _place(path: tuple[str, ...], order: tuple[str, ...]) -> int:
    """The rank of a field in an order by practice; fields it does not name come after."""
    field = ".".join(path)
    return next((rank for rank, end in enumerate(order) if field == end or field.endswith("." + end)), len(order))


def _shown(value: Any) -> object:
    """Words by what is written in a press file; numbers without noise; nothing as a stroke."""
    if isinstance(value, float):
        return f"{value:.4g}"
    return "–" if value is None else getattr(value, "value", value)
