"""What is to be turned at a contact by the stripes on record: its whole group, since its contacts are set together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.actions.register import Daybook
from filmsplit.actions.setting import GroupPlan, SettingAsked, plan_setting
from filmsplit.actions.setting_words import held_words, problems_of, to_do, who
from filmsplit.actions.shop import KeptPress
from filmsplit.messages import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """``turns`` are (contact, operator's side, gear side) in order; ``held`` why nothing may be turned yet.

    ``withheld`` where ``notes`` refuse it though stripes were read;
    ``read`` is false where no stripe of the group is on record, so that nothing can be told.
    """

    read: bool
    turns: tuple[tuple[str, str, str], ...]
    withheld: bool
    held: tuple[str, ...]
    notes: tuple[Problem, ...]


def correction_of(kept: KeptPress, unit: str, *, contact: str, book: Daybook) -> Correction:
    """By everything on record today. Writes nothing."""
    planned = plan_setting(str(kept.path), SettingAsked(unit=unit), book=book)
    groups = [
        group
        for each in planned.units
        for group in each.groups
        if contact in {plan.planned.contact.id for plan in group.contacts}
    ]
    told = [group for group in groups if group.advice is not None]
    return Correction(
        read=bool(told),
        turns=tuple(row for group in told for row in _turns(group)),
        withheld=any(group.advice.withheld for group in told if group.advice is not None),
        held=tuple(held_words(groups)),
        notes=tuple({problem.what: problem for group in told for problem in problems_of(group)}.values()),
    )


def _turns(group: GroupPlan) -> Iterator[tuple[str, str, str]]:
    plans = {plan.planned.contact.id: plan for plan in group.contacts}
    for each in group.advice.contacts if group.advice is not None else ():
        operator, gear = to_do(each)
        if operator or gear:
            yield who(plans[each.contact]), operator, gear
