"""What was learned of a press as a person reads it in a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.table import Table

from filmsplit.actions.learning import UnitLearned
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, name_line, print_bullet, table
from filmsplit.messages import Problem, Severity, label
from filmsplit.setup.learn import Interval
from filmsplit.setup.learned import Learned, LearnedKey


def print_learned(units: Sequence[UnitLearned]) -> None:
    """Unit by unit: the keys, the press, what it was learned from, what was left out."""
    out = console()
    for unit in units:
        invented = f"  ({label('show.invented')})" if unit.invented else ""
        out.print(f"[bold]{label('learned.unit', press=unit.press, unit=unit.unit)}[/]{invented}")
        if unit.learned is not None:
            out.print(_keys(unit.learned))
            for name, value in _facts(unit, unit.learned):
                out.print(name_line(name, value))
            out.print()
        _print_notes((*(unit.learned.notes if unit.learned else ()), *unit.notes), out=out)
        _print_left_out(unit, out=out)


def _print_notes(notes: Sequence[Problem], *, out: Console) -> None:
    """Warnings in full, the rest as a line each."""
    echo_problems([note for note in notes if note.severity is not Severity.INFORMATION])
    for note in notes:
        if note.severity is Severity.INFORMATION:
            print_bullet(note.what, out=out)


def _print_left_out(unit: UnitLearned, *, out: Console) -> None:
    left = [job for job in unit.jobs if job.left_out is not None]
    if not left:
        return
    out.print(label("learned.left_out"))
    for job in left:
        assert job.left_out is not None
        print_bullet(f"{job.code} {job.day}: {job.left_out.what}", out=out)


def _keys(learned: Learned) -> Table:
    made = table(
        (label("learned.zone"), "right"),
        (label("learned.gain"), "right"),
        (label("learned.zero"), "right"),
        (label("learned.drift"), "right"),
        (label("learned.state"), "left"),
    )
    for key in learned.keys:
        drift = f"{100 * key.drift.value:+.1f}" if key.drift.low < key.drift.high else ""
        made.add_row(
            str(key.zone), _interval(key.gain_um, "{:.2f}"), _interval(key.zero, "{:+.2f}"), drift, _state(key)
        )
    return made


def _state(key: LearnedKey) -> str:
    if key.drifting:
        return label("learned.drifts")
    return label("learned.yes") if key.learned else label("learned.no")


def _interval(interval: Interval, digits: str) -> str:
    ends = {name: digits.format(getattr(interval, name)) for name in ("value", "low", "high")}
    return label("learned.interval", **ends)


def _facts(unit: UnitLearned, learned: Learned) -> Iterator[tuple[str, str]]:
    """The press as a whole, and what it was learned from."""
    gain = learned.press_gain
    ends = {"value": f"{gain.value:.2f}", "low": f"{gain.low:.2f}", "high": f"{gain.high:.2f}"}
    yield label("learned.press_gain"), label("learned.press_gain_value", **ends)
    split = label("learned.split_unknown") if learned.split is None else _interval(learned.split, "{:.3f}")
    yield label("learned.split"), split
    yield label("learned.sweep"), _sweep(learned)
    codes = ", ".join(job.code for job in unit.used)
    yield label("learned.from"), label("learned.from_value", count=len(unit.used), codes=codes)
    yield label("learned.sure"), label("learned.sure_value", percent=f"{100 * learned.coverage:g}")


def _sweep(learned: Learned) -> str:
    if learned.sweep is None:
        return label("learned.sweep_unknown")
    ends = {name: f"{getattr(learned.sweep, name):+.2f}" for name in ("value", "low", "high")}
    return label("learned.sweep_value", **ends)
