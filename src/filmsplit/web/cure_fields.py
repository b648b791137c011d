"""What is filled in about ghosts: from when one is seen, and what may be done about it here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from filmsplit.actions.shop import KeptPress, Shop, kept_presses
from filmsplit.messages import Problem, Refusal, label
from filmsplit.studies.cure_list import Allowed
from filmsplit.web.job_fields import number_in

MOST_STROKE_MM = 150.0
"""As in a press file."""
TICKED = ("trim", "any_grain", "guide", "second_pass", "timing")
USUAL = frozenset({"trim", "guide", "second_pass"})
"""Ticked where nobody told."""
OTHER = "other"
ALLOWED = ("visible", "may", "stroke_low", "stroke_high", OTHER)
"""The fields; ``may`` are the words ticked and one more that is none: a form with nothing ticked tells that too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowances:
    """What was told, for the studies and for the form; ``others`` are presses of the shop besides the job's own."""

    visible: float | None
    allowed: Allowed
    ticked: frozenset[str]
    others: tuple[tuple[str, str, bool], ...]
    """Name in the shop, name, whether it may be printed there."""
    visible_percent: str
    stroke: tuple[str, str]


def allowances_in(sent: Mapping[str, str], shop: Shop) -> Allowances:
    """What may be done; what nobody told is the usual. :class:`Refusal` for a figure that is none."""
    ticked = frozenset(sent.get("may", "").split()) & {*TICKED} if sent.get("may") else USUAL
    wanted = frozenset(sent.get(OTHER, "").split())
    own = sent.get("where", "").partition("/")[0]
    others = tuple(each for each in kept_presses(shop) if each.press is not None and each.name != own)
    percent = number_in(sent, "visible", words=label("web_foreseen.visible"))
    return Allowances(
        visible=None if percent is None else percent / 100,
        allowed=Allowed(
            trim="trim" in ticked,
            grain_free="any_grain" in ticked,
            guide_free="guide" in ticked,
            second_pass="second_pass" in ticked,
            timing="timing" in ticked,
            stroke_mm=_stroke(sent),
            presses=tuple(each.press for each in others if each.press is not None and each.name in wanted),
        ),
        ticked=ticked,
        others=tuple((each.name, _name(each), each.name in wanted) for each in others),
        visible_percent=sent.get("visible", ""),
        stroke=(sent.get("stroke_low", ""), sent.get("stroke_high", "")),
    )


def _name(kept: KeptPress) -> str:
    return kept.name if kept.press is None else kept.press.name or kept.name


def _stroke(sent: Mapping[str, str]) -> tuple[float, float] | None:
    low, high = (number_in(sent, name, words=label(f"web_foreseen.{name}")) for name in ("stroke_low", "stroke_high"))
    if low is None and high is None:
        return None
    if low is None or high is None or not 0 <= low <= high <= MOST_STROKE_MM:
        told = f"{sent.get('stroke_low', '')}-{sent.get('stroke_high', '')}"
        raise Refusal(Problem("foresee-stroke-not-understood", {"text": told, "most_mm": MOST_STROKE_MM}))
    return low, high
