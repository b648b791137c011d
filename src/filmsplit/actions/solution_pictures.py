"""Pictures of a press's fountain solution: its trend, and its titration line."""

from __future__ import annotations

from filmsplit.actions.solution import PressSolution
from filmsplit.condition.solution import rises_of
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.solution import draw_rises, draw_titration
from filmsplit.units.conductivity import ConductivitySystem

MOST_DRAWN = 60
"""Samples on a trend: more cannot be told apart."""


def rises_picture(found: PressSolution, *, written: ConductivitySystem) -> Drawing | None:
    """The rise of each sample in use over its fresh batch; ``None`` where none could be compared."""
    known = [each for each in rises_of(found.samples) if each.rise_us_per_cm is not None]
    return draw_rises(known[-MOST_DRAWN:], written=written) if known else None


def line_picture(found: PressSolution, *, written: ConductivitySystem) -> Drawing | None:
    """The titration line, with the dose of the fresh batch where one may be read; ``None`` where there is no line."""
    judged = found.judged
    if judged.line is None:
        return None
    told = judged.fresh is not None and judged.dose_percent is not None
    read = judged.fresh.us_per_cm if told and judged.fresh is not None else None
    return draw_titration(judged.line, fresh_us_per_cm=read, written=written)
