"""How the picture of a plate is set: for a screen with heading and notes, or for paper, to be read at a press."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.figures.boxes import Box
from filmsplit.figures.heading import HEAD_MM
from filmsplit.figures.page import MARGIN_MM
from filmsplit.figures.plate_notes import PANEL_MM, SIGNS_MM, draw_signs
from filmsplit.figures.plate_seen import Lie, PlateSeen

GAP_MM = 8.0
"""Between the plate and what is written beside it."""
PAPER_MM, PAPER_HIGH_MM = 182.0, 148.0
"""As wide as the text of a sheet of paper, so that letters keep their size; as high as half of it."""
_MOST_WIDE_MM, _MOST_HIGH_MM = 260.0, 175.0
_PAPER_RIGHT_MM = 4.0
"""Room for half of the last number of the axis."""
_PAPER_BEYOND_MM = 8.0
"""Plate that is shown beyond the last thing on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Sizes of letters and rooms, mm. ``zone_mm`` are the sizes a zone's number and percent may have, largest first;
    ``squeezed`` says that they may be set smaller than these; ``alone`` that there is neither heading nor panel.
    """

    alone: bool
    words_mm: float
    number_mm: float
    zone_mm: tuple[float, ...]
    squeezed: bool
    row_mm: float
    bar_mm: float
    edge_mm: float
    left_mm: float
    top_mm: float
    numbers_below_mm: float
    sides_below_mm: float
    foot_mm: float

    @property
    def zones_mm(self) -> float:
        """Room above the plate: a line of words, bars, percents, numbers, and the words of the lead edge."""
        return 7.0 + self.bar_mm + 2 * self.row_mm + self.edge_mm


ON_SCREEN = Look(
    alone=False,
    words_mm=2.3,
    number_mm=2.1,
    zone_mm=(2.1,),
    squeezed=True,
    row_mm=3.4,
    bar_mm=12.0,
    edge_mm=6.0,
    left_mm=MARGIN_MM + 11.0,
    top_mm=HEAD_MM,
    numbers_below_mm=3.8,
    sides_below_mm=8.0,
    foot_mm=15.0,
)
ON_PAPER = Look(
    alone=True,
    words_mm=3.2,
    number_mm=3.2,
    zone_mm=(3.2, 2.9),
    squeezed=False,
    row_mm=5.8,
    bar_mm=8.0,
    edge_mm=6.0,
    left_mm=10.0,
    top_mm=0.0,
    numbers_below_mm=5.0,
    sides_below_mm=9.4,
    foot_mm=12.0,
)
"""Words of 9 pt, zones' numbers of no less than 8 pt."""


def lie_of(seen: PlateSeen, *, look: Look = ON_SCREEN) -> Lie:
    """The plate as large as page and height allow; on paper only as far round as there is something on it."""
    if not look.alone:
        wide = _MOST_WIDE_MM - 2 * MARGIN_MM - 11.0 - GAP_MM - PANEL_MM
        return _lie(seen, look, room_mm=(wide, _MOST_HIGH_MM))
    wide = PAPER_MM - look.left_mm - _PAPER_RIGHT_MM
    high = PAPER_HIGH_MM - look.zones_mm - look.foot_mm
    lie = _lie(seen, look, room_mm=(wide, high))
    if signs_beside(lie):
        return lie
    _, below = draw_signs(seen, (1.0, 0.0), width_mm=PAPER_MM - 1.0, shown_mm=lie.round_mm)
    return _lie(seen, look, room_mm=(wide, high - below))


def signs_beside(lie: Lie) -> bool:
    """Whether what the signs mean goes beside a plate on paper; else it stands below."""
    return lie.box.right + GAP_MM + SIGNS_MM <= PAPER_MM


def _lie(seen: PlateSeen, look: Look, *, room_mm: tuple[float, float]) -> Lie:
    shown = shown_mm(seen) if look.alone else seen.round_mm
    scale = min(room_mm[0] / seen.across_mm, room_mm[1] / shown)
    left, top = look.left_mm, look.top_mm + look.zones_mm
    return Lie(Box(left, top, left + seen.across_mm * scale, top + shown * scale), seen.left_mm, scale)


def shown_mm(seen: PlateSeen) -> float:
    """From the lead edge to a little beyond sheet and image: most of a long plate is often empty."""
    sheet = seen.placement.sheet
    ends = [copy.lead_mm + copy.round_mm for copy in seen.copies]
    ends += [] if sheet is None else [sheet.lead_mm + sheet.length_mm]
    return min(seen.round_mm, max(ends, default=seen.round_mm) + _PAPER_BEYOND_MM)
