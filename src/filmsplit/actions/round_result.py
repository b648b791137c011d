"""What a round told: the stripes as a map, the verdict on each contact, what to turn, and what to order."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.actions.press_map import verdicts_at
from filmsplit.actions.register import Daybook
from filmsplit.actions.round_at_press import RoundNow
from filmsplit.actions.setting import GroupPlan, SettingAsked, plan_setting
from filmsplit.actions.stripe_map import ContactStripe, stripe_map
from filmsplit.actions.stripe_map_paper import map_figure
from filmsplit.actions.today import history_in
from filmsplit.condition.verdict import RollerVerdict, Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundResult:
    """``svg`` is the map; ``groups`` are those of which a stripe was read; ``to_order`` the rollers to be acted on."""

    svg: str
    stripes: tuple[ContactStripe, ...]
    groups: tuple[GroupPlan, ...]
    to_order: tuple[RollerVerdict, ...]


def round_result(now: RoundNow, *, book: Daybook) -> RoundResult:
    """The result by everything on record today, which is more than what this round read. Writes nothing."""
    reference = str(now.kept.path)
    found = stripe_map(reference, book=book, unit=now.unit.id).units[0]
    planned = plan_setting(reference, SettingAsked(unit=now.unit.id), book=book)
    verdicts = verdicts_at(now.press, now.unit, history=history_in(book))
    return RoundResult(
        svg=map_figure(now.press, found).svg,
        stripes=found.contacts,
        groups=tuple(group for unit in planned.units for group in unit.groups if group.advice is not None),
        to_order=tuple(each for each in verdicts.values() if each.verdict is Verdict.ACT),
    )
