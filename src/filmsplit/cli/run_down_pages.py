"""What `run-down` prints: the plan, or what the readings told."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console

from filmsplit.actions.run_down_answer import FoundAnswer, RunDownAnswer, StageAnswer
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, name_line, print_bullet, table
from filmsplit.messages import Problem, Severity, label

_SPOKEN = ("setup-run-down-untold", "run-down-forms-usual")
"""Notes that say what to do next: printed with it."""


def print_run_down(answer: RunDownAnswer) -> None:
    """The plan without readings; otherwise what they told, and what to do next."""
    out = console()
    invented = f"  ({label('show.invented')})" if answer.invented else ""
    out.print(f"[bold]{label('run_down_page.title', press=answer.press, unit=answer.unit)}[/]{invented}")
    if answer.found is None:
        _print_plan(answer, out=out)
    else:
        _print_found(answer.found, out=out)
    _print_notes(answer.notes, out=out)


def _print_plan(answer: RunDownAnswer, *, out: Console) -> None:
    for name, value in _what_to_do(answer):
        out.print(name_line(name, value))
    _print_stages(answer, out=out)
    procedure = label("run_down_page.procedure_value", press=answer.press)
    out.print(name_line(label("run_down_page.procedure"), procedure))
    out.print(name_line(label("run_down_page.then"), label("run_down_page.then_value", press=answer.press)))
    out.print()


def _what_to_do(answer: RunDownAnswer) -> Iterator[tuple[str, str]]:
    yield label("run_down_page.print"), label("run_down_page.print_value", sheets=answer.sheets)
    place = {"zone": answer.zone, "first": f"{answer.patch_first_mm:.0f}", "end": f"{answer.patch_end_mm:.0f}"}
    yield label("run_down_page.patch"), label("run_down_page.patch_value", **place)


def _print_stages(answer: RunDownAnswer, *, out: Console) -> None:
    out.print()
    made = table(
        (label("run_down_page.stage"), "left"),
        (label("run_down_page.sheets"), "right"),
        (label("run_down_page.on_plate"), "left"),
        (label("run_down_page.fades"), "right"),
    )
    for number, stage in enumerate(answer.stages, start=1):
        sheets = f"{stage.first_sheet}–{stage.first_sheet + stage.sheets - 1}"
        fades = label("run_down_page.fades_to", percent=f"{100 * stage.fades_to:.0f}")
        made.add_row(str(number), sheets, _on_plate(stage, answer), fades)
    out.print(made)


def _on_plate(stage: StageAnswer, answer: RunDownAnswer) -> str:
    if stage.forms == answer.stages[0].forms:
        return label("run_down_page.all_on", rollers=", ".join(stage.forms))
    return label("run_down_page.alone", roller=stage.forms[0])


def _print_found(found: FoundAnswer, *, out: Console) -> None:
    weight = {name: f"{getattr(found.stored_g, name):.2f}" for name in ("value", "low", "high")}
    store = label("run_down_page.store_value", **weight, um=f"{found.stored_um_mm2.value:,.0f}")
    out.print(name_line(label("run_down_page.store"), store))
    out.print()
    made = table(
        (label("run_down_page.roller"), "left"),
        (label("run_down_page.share"), "right"),
        (label("run_down_page.range"), "right"),
        (label("run_down_page.state"), "left"),
    )
    for each in found.contacts:
        ends = f"{each.share.low:.2f}–{each.share.high:.2f}"
        state = label("run_down_page.told" if each.told else "run_down_page.untold")
        made.add_row(f"{each.form} {each.name}".strip(), f"{each.share.value:.2f}", ends, state)
    out.print(made)
    fit = label("run_down_page.fit_value", misfit=f"{found.misfit:.2f}")
    out.print(name_line(label("run_down_page.fit"), fit))
    sure = label("run_down_page.sure_value", percent=f"{100 * found.coverage:.0f}")
    out.print(name_line(label("run_down_page.sure"), sure))
    out.print()


def _print_notes(notes: tuple[Problem, ...], *, out: Console) -> None:
    """Warnings in full, what to do next with its remedy, the rest as a line each."""
    echo_problems([note for note in notes if note.severity is not Severity.INFORMATION])
    out.print(f"[bold]{label('run_down_page.next')}[/]")
    for note in notes:
        if note.severity is Severity.INFORMATION:
            print_bullet(f"{note.what} {note.remedy}" if note.slug in _SPOKEN else note.what, out=out)
