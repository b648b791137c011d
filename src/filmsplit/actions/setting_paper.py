"""The setting sheet of a press, on paper: one sheet a unit, one after another in the same file."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from filmsplit.actions.find import find_press
from filmsplit.actions.setting import ContactPlan, GroupPlan, Setting, UnitSetting
from filmsplit.actions.setting_words import held_words, mm, problems_of, stripe_words, to_do, who
from filmsplit.figures.stage import unit_name
from filmsplit.formats.replace_file import write_file
from filmsplit.library.procedures import procedure
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press
from filmsplit.procedures.for_unit import fitted
from filmsplit.procedures.gate import passages_of
from filmsplit.reports.setting_sheet import SettingRow, SettingSheet, StageRows, setting_sheet_pdf
from filmsplit.reports.setup_sheet import Done
from filmsplit.reports.typeset import Paper

STEPS = "set-rollers"


def write_setting(reference: str, found: Setting, *, to: Path, paper: Paper = Paper.A4, over: bool = False) -> None:
    """Write the sheet of one unit; :class:`Refusal` where the press has several and none was named."""
    if len(found.units) > 1:
        units = ", ".join(each.unit for each in found.units)
        raise Refusal(Problem("setting-sheet-of-several", {"press": found.press, "units": units}))
    press = find_press(reference).press
    write_file(to, setting_sheet_pdf(setting_sheet(press, found, unit=found.units[0]), paper=paper), over=over)


def setting_sheet(press: Press, found: Setting, *, unit: UnitSetting) -> SettingSheet:
    """What the sheet of a unit shows."""
    of = press.unit(unit.unit)
    made = fitted(procedure(STEPS), of)
    warmth = found.temperatures
    told = tuple(problem for group in unit.groups for problem in problems_of(group))
    withheld = [problem.what for group in unit.groups if group.advice for problem in group.advice.withheld]
    return SettingSheet(
        press=press.name or press.id,
        unit=unit_name(of) if len(press.units) > 1 else "",
        invented=press.invented,
        how=label("setting_sheet.how", cold=f"{warmth.cold_c:g}", warm=f"{warmth.warm_c:g}"),
        stages=tuple(_stages(unit)),
        withheld=tuple(dict.fromkeys((*withheld, *held_words(unit.groups)))),
        known=tuple(f"{each.what} {each.remedy}" for each in told if each.what not in withheld),
        steps=Done(title=made.title, source=made.source, passages=passages_of(made)),
    )


def _stages(unit: UnitSetting) -> Iterator[StageRows]:
    """Stage by stage in the order of setting, whatever group a contact is of."""
    contacts = [(each, group) for group in unit.groups for each in group.contacts]
    contacts.sort(key=lambda pair: pair[0].planned.number)
    for stage, pairs in groupby(contacts, key=lambda pair: pair[0].planned.stage):
        yield StageRows(
            name=stage.text[:1].upper() + stage.text[1:],
            tools=stage.tools,
            rows=tuple(_row(each, group) for each, group in pairs),
        )


def _row(plan: ContactPlan, group: GroupPlan) -> SettingRow:
    id = plan.planned.contact.id
    advice = next((each for each in group.advice.contacts if each.contact == id), None) if group.advice else None
    read, turn = "", ""
    if advice is not None:
        read = f"{stripe_words(group.stripes[id])}, {group.read_on[id].isoformat()}"
        turn = " / ".join(each for each in to_do(advice) if each)
    known = plan.cold_mm is not None or plan.warm_mm is not None
    target = f"{mm(plan.cold_mm)} / {mm(plan.warm_mm)}" if known else mm(plan.target_mm)
    return SettingRow(number=str(plan.planned.number), name=id, who=who(plan), target=target, read=read, turn=turn)
