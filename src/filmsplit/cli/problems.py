"""Print problems: what, where, what to do."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

import click

from filmsplit.messages import Problem, Refusal, Severity, label

_WIDTH = 100
_ORDER = (Severity.REFUSED, Severity.WARNING, Severity.INFORMATION)


def echo_refusal(refusal: Refusal) -> None:
    """Everything that stands in the way, worst first, to standard error."""
    click.echo(label("cli.refused"), err=True)
    echo_problems(refusal.problems, err=True)


def echo_problems(problems: Iterable[Problem], *, err: bool = False) -> None:
    """Each problem with its place, its sentence and its remedy, worst first, then in file order."""
    ranked = sorted(problems, key=lambda each: (_ORDER.index(each.severity), each.place.line if each.place else 0))
    for problem in ranked:
        click.echo(problem_text(problem), err=err)


def problem_text(problem: Problem) -> str:
    """One problem as lines of text."""
    head = f"{label('severity.' + problem.severity.value)}: {problem.what}"
    place = str(problem.place) if problem.place else ".".join(problem.path)
    lines = [_wrapped(head, first="  ", rest="    ")]
    if place:
        lines.append(f"    {label('cli.where')} {place}")
    lines.append(_wrapped(problem.remedy, first=f"    {label('cli.remedy')} ", rest="    "))
    lines.append(f"    ({problem.slug})")
    return "\n".join(lines)


def _wrapped(text: str, *, first: str, rest: str) -> str:
    return textwrap.fill(
        text, width=_WIDTH, initial_indent=first, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False
    )
