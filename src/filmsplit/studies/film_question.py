"""What is asked when somebody asks where the ink is: everything that may be told, and nothing that must be."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from filmsplit.ink.splitting import Array
from filmsplit.ink.transfer import FixedShare, Transfer
from filmsplit.simulation.demand import FORMS_OFF, NO_SHEET, PRINTING, Running
from filmsplit.simulation.settle import ACCURACY

AIM_UM = 1.0
"""Film of ink on a printed solid: about 1 µm (common practice; ISO 2846-1 tests process inks at 0.7 to 1.3 µm)."""

COVERAGE = 0.2
"""A form of middling coverage, where nobody says how much is printed (common practice)."""


class Mode(Enum):
    """What the press is doing."""

    PRINT = "print"
    NO_SHEET = "no-sheet"
    FORMS_OFF = "forms-off"

    @property
    def running(self) -> Running:
        return {Mode.PRINT: PRINTING, Mode.NO_SHEET: NO_SHEET, Mode.FORMS_OFF: FORMS_OFF}[self]


Zoned = float | tuple[float, ...]
"""One value for all, or one for each ink zone from the operator's side."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmQuestion:
    """Everything that may be asked of one unit. ``None`` leaves it to the study, which says what it assumed.

    ``coverage`` (0..1) is even, by zone, or a map over the sheet [rows from the lead edge, columns from the operator's
    side]; the cells of a map are even, or have the edges ``coverage_edges_mm`` (down, across), from 0 to the size of
    the sheet. ``sheet_mm`` is (length in the direction of travel, width across). Without ``key_films_um`` the keys are
    set evenly to print a mean film of ``aim_um``. ``density_g_per_cm3`` is the ink's, ``accuracy`` that of the
    settled state.
    """

    coverage: Zoned | Array | None = None
    coverage_edges_mm: tuple[Array, Array] | None = None
    sheet_mm: tuple[float, float] | None = None
    key_films_um: Zoned | None = None
    aim_um: float | None = None
    sweep_mm: float | None = None
    transfer: Transfer = field(default_factory=FixedShare)
    mode: Mode = Mode.PRINT
    thrown_off: frozenset[str] = frozenset()
    round_mm: float | None = None
    across_mm: float | None = None
    accuracy: float = ACCURACY
    density_g_per_cm3: float = 1.0
