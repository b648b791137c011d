"""Where every copy of a picture lies on the plate, and which way its top looks; for whoever draws or lists them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from filmsplit.artwork.placement import Placement, WorkStyle


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """One copy: its lead edge and operator side from those of the plate, its size round and across.

    ``top_deg`` is where the top of the picture looks, clockwise from the lead edge, seen with the lead edge up and the
    operator's side at the left. ``back`` is a copy for the back of the sheet.
    """

    lead_mm: float
    side_mm: float
    round_mm: float
    across_mm: float
    top_deg: int = 0
    back: bool = False


def copies(placement: Placement, picture_mm: tuple[float, float]) -> tuple[Copy, ...]:
    """Every copy of a picture of ``picture_mm`` (down, across, as the file has it), front before back."""
    down, across = picture_mm
    if placement.turn.value % 180:
        down, across = across, down
    fronts = tuple(_fronts(placement, round_mm=down, across_mm=across))
    return (*fronts, *_backs(placement, fronts))


def _fronts(placement: Placement, *, round_mm: float, across_mm: float) -> Iterator[Copy]:
    repeat, sheet = placement.repeat, placement.sheet
    lead = placement.lead_mm + (sheet.lead_mm if sheet else 0.0)
    side = placement.side_mm + (sheet.side_mm if sheet else 0.0)
    for row in range(repeat.times_round):
        for column in range(repeat.times_across):
            yield Copy(
                lead_mm=lead + row * repeat.step_round_mm,
                side_mm=side + column * repeat.step_across_mm,
                round_mm=round_mm,
                across_mm=across_mm,
                top_deg=placement.turn.value,
            )


def _backs(placement: Placement, fronts: tuple[Copy, ...]) -> Iterator[Copy]:
    """Turned over, the sheet changes sides; tumbled, its tail becomes its lead and the back stands on its head."""
    sheet = placement.sheet
    if sheet is None or placement.style is WorkStyle.SHEETWISE:
        return
    for front in fronts:
        lead, side, top = front.lead_mm, front.side_mm, front.top_deg
        if placement.style is WorkStyle.WORK_AND_TURN:
            side = 2 * sheet.side_mm + sheet.width_mm - side - front.across_mm
        else:
            lead = 2 * sheet.lead_mm + sheet.length_mm - lead - front.round_mm
            top = (top + 180) % 360
        yield Copy(
            lead_mm=lead,
            side_mm=side,
            round_mm=front.round_mm,
            across_mm=front.across_mm,
            top_deg=top,
            back=True,
        )
