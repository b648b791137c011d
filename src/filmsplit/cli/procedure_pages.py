"""A procedure in a terminal: what is done at the desk at once, what is done at the press only after the gate."""

from __future__ import annotations

import datetime
import textwrap

import click

from filmsplit.messages import Problem, Refusal, label
from filmsplit.procedures.gate import Facts, Passage, Statement, open_gate, passages_of
from filmsplit.procedures.procedure import Procedure, Step

_WIDTH = 96


def show_procedure(procedure: Procedure, *, ask: bool) -> None:
    """Print it passage by passage. Without a person to ask, the first passage that needs the gate ends it."""
    click.echo(click.style(procedure.title, bold=True))
    click.echo(label("procedure.source", source=procedure.source))
    number, said = 0, (Statement(), Facts())
    for passage in passages_of(procedure):
        if passage.gated and not ask:
            raise Refusal(Problem("gate-nobody-to-ask", {}))
        if passage.gated:
            said = _ask(passage)
        for step in open_gate(passage, said[0], facts=said[1], today=_today()):
            number += 1
            _print_step(number, step)


def _ask(passage: Passage) -> tuple[Statement, Facts]:
    """The statement, one answer at a time. There is no default: Enter alone asks again."""
    click.echo()
    click.echo(click.style(label("procedure.passage"), bold=True))
    click.echo(label("procedure.cannot_see"))
    person = click.prompt(label("procedure.ask_person")) if passage.at_press else ""
    hands, chemistry = passage.hands_in, passage.chemistry
    statement = Statement(
        person=person,
        signed_off=passage.at_press and _yes(label("procedure.ask_signed_off")),
        guards_and_stops_tested=passage.at_press and _yes(label("procedure.ask_guards_tested")),
        isolated_and_locked=hands and _yes(label("procedure.ask_isolated")),
        start_tried=hands and _yes(label("procedure.ask_start_tried")),
        made_on=_today(),
        spell=passage.spell,
    )
    facts = Facts(
        guards_in_place=passage.at_press and _yes(label("procedure.ask_guards")),
        lock_at_hand=hands and _yes(label("procedure.ask_lock")),
        data_sheet_at_hand=chemistry and _yes(label("procedure.ask_data_sheet")),
        gloves_in_stock=chemistry and _yes(label("procedure.ask_gloves")),
    )
    click.echo()
    return statement, facts


def _yes(question: str) -> bool:
    answer = click.prompt(
        f"{question} ({label('procedure.answer')})", type=click.Choice(("yes", "no")), show_choices=False
    )
    return bool(answer == "yes")


def _today() -> datetime.date:
    return datetime.datetime.now().astimezone().date()


def _print_step(number: int, step: Step) -> None:
    head = f"{number:3d}  [{step.state.text}]  "
    click.echo(textwrap.fill(step.do, width=_WIDTH, initial_indent=head, subsequent_indent="     "))
    for key, text in (("look_for", step.look_for), ("caution", step.caution)):
        if text:
            line = label(f"procedure.{key}", text=text)
            click.echo(textwrap.fill(line, width=_WIDTH, initial_indent="     ", subsequent_indent="       "))
