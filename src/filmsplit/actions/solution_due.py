"""Where the fountain solution of each press stands today, and whether a press that prints wants its next sample."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from filmsplit.actions.jobs import find
from filmsplit.actions.register import Daybook
from filmsplit.actions.shop import KeptPress
from filmsplit.actions.solution import solutions_in
from filmsplit.condition.solution import Sample, SolutionVerdict
from filmsplit.units.conductivity import ConductivitySystem

SAMPLE_EVERY = timedelta(hours=4)
"""Of running, and every fresh batch (PIA guidance on conductivity; memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionState:
    """The judgement on the solution of a press, and whether its next sample is due."""

    kept: KeptPress
    judged: SolutionVerdict
    sample_due: bool


def solution_states(
    presses: Sequence[KeptPress], *, book: Daybook, written: ConductivitySystem = ConductivitySystem.MICROSIEMENS
) -> tuple[SolutionState, ...]:
    """The state of every usable press among those of a shop."""
    return tuple(
        SolutionState(
            kept=kept,
            judged=found.judged,
            sample_due=bool(found.samples)
            and is_due(found.samples, printed_today=_prints(found.press.id, book=book), now=_now()),
        )
        for kept, found in solutions_in(presses, book=book, written=written)
    )


def is_due(samples: Sequence[Sample], *, printed_today: bool, now: datetime) -> bool:
    """Whether a press that prints wants its next sample. Where nothing was ever sampled, nobody is reminded."""
    times = [each.moment for each in samples if each.at is not None and not each.series]
    return printed_today and bool(times) and now - max(times) > SAMPLE_EVERY


def _prints(press: str, *, book: Daybook) -> bool:
    """Whether a job was printed on it on the day of the book."""
    return any(each.printed_on == book.day for each in find(book.records, press=press, most=1))


def _now() -> datetime:
    return datetime.now().astimezone()
