"""Print problems: what, where, what to do."""

from __future__ import annotations

import os
import textwrap
import traceback
from collections.abc import Iterable
from pathlib import Path

import click

from filmsplit.messages import Problem, Refusal, Severity, label
from filmsplit.messages.settings import TRACEBACK_VARIABLE

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


def echo_fault(fault: Exception) -> None:
    """A fault of the program itself: one line to report, or everything for those who asked for it."""
    if os.environ.get(TRACEBACK_VARIABLE, "0") not in ("", "0"):
        traceback.print_exception(fault)
    frames = traceback.extract_tb(fault.__traceback__)
    place = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""
    values = {"kind": type(fault).__name__, "place": place, "variable": TRACEBACK_VARIABLE}
    echo_problems([Problem("program-error", values)], err=True)


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
