"""Changes of ink on one unit, from the job before or from pass to pass: wash, or run the old ink out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from filmsplit.ink.colour import share_within
from filmsplit.library.colour_change import colour_change_figures
from filmsplit.library.inks import Ink
from filmsplit.messages import Problem
from filmsplit.setup.colour_change import Change, change_of
from filmsplit.setup.wash_or_run_out import PassInk, order_of_inks, weigh
from filmsplit.simulation.state import State
from filmsplit.studies.job_study import JobStudy


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class InkRun:
    """An ink as it is printed on a unit: its name in the work, the library's ink of that name if there is one, and the
    job it was set for."""

    name: str
    ink: Ink | None
    study: JobStudy


def order_notes(runs: Sequence[InkRun]) -> tuple[Problem, ...]:
    """A remark where another order of the inks on one unit would be sooner clean; nothing where colours are unknown."""
    figures = colour_change_figures()
    if len(runs) < 2 or any(run.ink is None or run.ink.solid is None for run in runs):
        return ()
    inks = [PassInk(name=run.name, lab=run.ink.solid.lab) for run in runs if run.ink is not None and run.ink.solid]
    return order_of_inks(inks, paper=figures.paper, difference=figures.delta_e_00).notes


def change_notes(old: tuple[str, Ink | None], new: InkRun, *, left: State | None) -> Iterator[Problem]:
    """Wash or run out from the ink called ``old`` to the next one, and in numbers where both colours are known.

    ``left`` is the unit as the old ink left it, on the grid of the new job; ``None`` where that is not known.
    """
    name, ink = old
    values = {"old": name, "new": new.name}
    if name.strip().lower() == new.name.strip().lower():
        return
    yield Problem("setup-change-of-ink", values)
    if ink is None or ink.solid is None or new.ink is None or new.ink.solid is None:
        yield Problem("setup-change-colour-unknown", values)
    elif left is not None and new.study.setting.transfer.is_linear:
        figures = colour_change_figures()
        difference = figures.delta_e_00
        share = share_within(new.ink.solid.lab, ink.solid.lab, paper=figures.paper, difference=difference)
        zoned, films_um = new.study.zoned, new.study.settings.set_films_um
        change = Change(zoned=zoned, films_um=films_um, state=left, share=share, left=figures.washing.left)
        weighed = weigh(change_of(change), difference=difference, washing=figures.washing, prices=figures.prices)
        yield weighed.answer
