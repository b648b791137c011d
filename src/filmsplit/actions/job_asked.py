"""What is told of a job besides its work."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.setup.cover_checks import InkFamily, WashClass
from filmsplit.setup.limits import KeyLimits
from filmsplit.studies.job_question import Before


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAsked:
    """What is told of a job besides the work.

    ``passes`` say which unit prints which ink, pass by pass; without them the inks go over the units in the order of
    the work, as often through the press as that takes. ``constants`` are saturation density and rate per g/m2
    (Tollenaar-Ernst) of this ink on this stock; a ``density`` is aimed at only with them. ``after`` is the code of the
    job before on this unit. ``tau`` is the share the sheet takes; ``wash`` what the rollers are
    washed with, where somebody says. ``use_learned`` takes the keys as the log has taught them.
    """

    title: str = ""
    stock: str = ""
    run: int | None = None
    unit: str | None = None
    passes: tuple[tuple[tuple[str, str], ...], ...] = ()
    aim_um: float | None = None
    density: float | None = None
    constants: tuple[float, float] | None = None
    tolerance: float | None = None
    tau: float = 0.5
    before: Before = Before.CLEAN
    after: str = ""
    sweep: float | None = None
    limits: KeyLimits | None = None
    least_fill_kg: float = 0.0
    left_over_kg: float = 0.0
    family: InkFamily = InkFamily.OIL
    wash: WashClass | None = None
    use_learned: bool = True
