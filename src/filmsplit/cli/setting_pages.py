"""The plan of setting as a person reads it in a terminal."""

from __future__ import annotations

import click

from filmsplit.actions.setting import GroupPlan, Setting, UnitSetting
from filmsplit.actions.setting_words import held_words, learned_words, mm, problems_of, stripe_words, to_do, who
from filmsplit.cli.problems import problem_text
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.condition.setting_advice import ContactAdvice
from filmsplit.messages import label


def print_setting(found: Setting) -> None:
    """The order of each unit with its targets; then, group by group, what was read and what to turn."""
    click.echo(label("setting_page.caution"))
    for unit in found.units:
        if len(found.units) > 1:
            console().print(f"\n[bold]{label('show.unit', unit=unit.unit)}[/]")
        _print_order(found, unit)
        for group in unit.groups:
            _print_group(group)
        held = tuple(held_words(unit.groups))
        if held:
            click.echo("\n" + label("setting_page.held"))
        for reason in held:
            print_bullet(reason, out=console())


def _print_order(found: Setting, unit: UnitSetting) -> None:
    warmth = found.temperatures
    made = table(
        ("", "right"),
        (label("setting_page.contact"), "left"),
        (label("setting_page.set"), "left"),
        (label("setting_page.cold", at=f"{warmth.cold_c:g}"), "right"),
        (label("setting_page.warm", at=f"{warmth.warm_c:g}"), "right"),
        (label("setting_page.seen_with"), "left"),
    )
    for each in (contact for group in unit.groups for contact in group.contacts):
        planned = each.planned
        made.add_row(
            str(planned.number), planned.contact.id, who(each), mm(each.cold_mm), mm(each.warm_mm), planned.stage.tools
        )
    console().print(made)


def _print_group(group: GroupPlan) -> None:
    names = ", ".join(each.planned.contact.id for each in group.contacts)
    problems = tuple(problems_of(group))
    if group.advice is None and not problems:
        return
    console().print(f"\n[bold]{names}[/]")
    for contact in group.advice.contacts if group.advice else ():
        _print_contact(group, contact)
    for problem in problems:
        click.echo(problem_text(problem))


def _print_contact(group: GroupPlan, contact: ContactAdvice) -> None:
    read = group.read_on.get(contact.contact)
    values = {
        "contact": contact.contact,
        "stripe": stripe_words(group.stripes[contact.contact]),
        "target": f"{contact.target_mm:.1f}",
        "day": "" if read is None else read.isoformat(),
    }
    click.echo(label("setting_page.read", **values))
    for shape in contact.shapes:
        click.echo("  " + shape.problem.what)
    operator, gear = to_do(contact)
    if operator:
        key = "setting_page.rather" if contact.right and contact.turns is not None else "setting_page.do"
        click.echo(label(key, operator=operator, gear=gear))
    for line in learned_words(contact) if group.passes else ():
        click.echo("  " + line)
    for note in contact.notes:
        click.echo(problem_text(note))
