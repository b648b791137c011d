"""Cures that were tried, as the rows of a table: in a terminal and on paper."""

from __future__ import annotations

from filmsplit.actions.cures import CureTold
from filmsplit.messages import label


def cure_row(cure: CureTold) -> tuple[str, str, str, str, str]:
    """Number, what to do, the ghost that is left, the gain with its band, the ink it costs."""
    left = label("cure.percent", value=f"{100 * cure.strongest:.1f}")
    ink = label("cure.grams", value=f"{cure.ink_g:.1f}") if cure.ink_g else ""
    return str(cure.number), cure.words, left, _gain(cure), ink


def _gain(cure: CureTold) -> str:
    if cure.low is None or cure.high is None:
        return label("cure.percent", value=f"{100 * cure.gain:.0f}")
    low, high = (f"{100 * each:.0f}" for each in (cure.low, cure.high))
    return label("cure.unsure", gain=f"{100 * cure.gain:.0f}", low=low, high=high)
