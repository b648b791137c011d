"""Procedures: those that come with the program made for one unit, and a shop's own, checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from filmsplit.actions.find import find_press
from filmsplit.formats.procedure_file import load_procedure
from filmsplit.library.procedures import PROCEDURES, procedure
from filmsplit.messages import Problem, Refusal
from filmsplit.press.asked import units_asked
from filmsplit.procedures.for_unit import fitted
from filmsplit.procedures.procedure import Procedure


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedProcedure:
    """A procedure file, looked at. ``procedure`` is ``None`` where a rule is broken; then ``problems`` say which."""

    file: str
    procedure: Procedure | None
    problems: tuple[Problem, ...]


def procedure_for(reference: str, *, id: str, unit: str | None = None) -> Procedure:
    """A procedure of the program, or a file of the shop's own, for one unit of a press (the first unless named)."""
    press = find_press(reference).press
    path = Path(id)
    if path.suffix in (".yaml", ".yml"):
        general = load_procedure(path)
    elif id in PROCEDURES:
        general = procedure(id)
    else:
        raise Refusal(Problem("procedure-not-found", {"asked": id, "known": ", ".join(PROCEDURES)}))
    return fitted(general, units_asked(press, unit)[0])


def own_procedures() -> tuple[Procedure, ...]:
    """Every procedure that comes with the program, as it is for any unit."""
    return tuple(procedure(id) for id in PROCEDURES)


def own_procedure_for(reference: str, *, id: str, unit: str) -> Procedure:
    """A procedure of the program for one unit; ``id`` is looked up among its names and never made into a path."""
    if id not in PROCEDURES:
        raise Refusal(Problem("procedure-not-found", {"asked": id, "known": ", ".join(PROCEDURES)}))
    return procedure_for(reference, id=id, unit=unit)


def check_procedures(paths: Sequence[Path]) -> tuple[CheckedProcedure, ...]:
    """Every file looked at on its own: one bad file does not hide what is wrong with the next."""
    return tuple(_check(path) for path in paths)


def _check(path: Path) -> CheckedProcedure:
    try:
        return CheckedProcedure(file=str(path), procedure=load_procedure(path), problems=())
    except Refusal as refusal:
        return CheckedProcedure(file=str(path), procedure=None, problems=refusal.problems)
