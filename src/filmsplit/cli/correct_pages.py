"""Moves of the keys as a person reads them in a terminal."""

from __future__ import annotations

from rich.table import Table

from filmsplit.actions.correct import Corrected, KeyCorrected
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, name_line, print_bullet, table
from filmsplit.messages import Severity, label
from filmsplit.reports.keys import how_to_read, in_words

NOTHING = "–"


def print_corrected(found: Corrected) -> None:
    """The moves first, then when to look again, then what they rest on."""
    out = console()
    invented = f"  ({label('show.invented')})" if found.invented else ""
    out.print(f"[bold]{found.title}[/]  {found.code}  {found.press} {found.unit}{invented}")
    out.print(_keys(found))
    out.print(how_to_read(found.key_kind), markup=False)
    sheet = label("correct.ok_sheet") if found.sheet is None else label("correct.sheet", sheet=found.sheet)
    out.print(name_line(label("correct.read"), sheet))
    out.print(name_line(label("correct.aim"), f"{found.aim_density:.2f} ± {found.reading_error:.2g}"))
    out.print(name_line(label("correct.look_again"), _look_again(found)))
    out.print()
    echo_problems([note for note in found.notes if note.severity is not Severity.INFORMATION])
    for note in found.notes:
        if note.severity is Severity.INFORMATION:
            print_bullet(note.what, out=out)


def _look_again(found: Corrected) -> str:
    if not found.moves:
        return label("correct.no_move")
    if found.look_again is None:
        return label("correct.never")
    return label("correct.after", sheets=found.look_again)


def _keys(found: Corrected) -> Table:
    made = table(
        (label("correct.zone"), "right"),
        (label("correct.density"), "right"),
        (label("correct.off"), "right"),
        (label("correct.now"), "right"),
        (label("correct.then"), "right"),
        (label("correct.move"), "right"),
        (label("correct.expected"), "right"),
    )
    for key in found.keys:
        made.add_row(*_cells(key, found), style="bold" if key.move else None)
    return made


def _cells(key: KeyCorrected, found: Corrected) -> tuple[str, ...]:
    read = key.density is not None and key.off is not None
    return (
        str(key.zone),
        f"{key.density:.2f}" if read else NOTHING,
        f"{key.off:+.2f}" if read else NOTHING,
        in_words(key.now, found.key_kind),
        in_words(key.then, found.key_kind) if key.move else NOTHING,
        _move(key, found),
        f"{key.expected_density:.2f}",
    )


def _move(key: KeyCorrected, found: Corrected) -> str:
    """With its sign, and marked where a limit held it."""
    if not key.move:
        return NOTHING
    sign = "+" if key.move > 0 else "−"
    return f"{sign} {in_words(abs(key.move), found.key_kind)}{' *' if key.limited else ''}"
