"""Lay a map on the plate: turned, repeated, area for area; refused where any image would be lost."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from filmsplit.artwork.coverage import CoverageMap, Frame, Numbers, Step, StepKind
from filmsplit.artwork.placement import Placement, Sheet, WorkStyle
from filmsplit.artwork.plate import Plate
from filmsplit.artwork.rebin import areas
from filmsplit.messages import Problem, Refusal, Severity, label

Corner = tuple[float, float]
"""Where a picture's first row and first column go, in mm from the plate's lead edge and operator side."""
SLACK_MM = 1e-6
"""Edges that agree to this are the same edge: less than any dot."""


def place(
    artwork: CoverageMap, placement: Placement, plate: Plate, *, back: CoverageMap | None = None
) -> tuple[CoverageMap, tuple[Problem, ...]]:
    """The map on the plate, and what should be known about it.

    With work and turn or work and tumble the ``back`` (the same picture, if none is given) comes on the other half of
    the sheet. Raises ``Refusal`` where image would fall off the plate, into the gap, off the sheet, or on other image.
    """
    laid = tuple(_laid(artwork, placement, back=back))
    problems = (*_outside(laid, placement, plate), *_on_each_other(laid))
    if any(problem.severity is Severity.REFUSED for problem in problems):
        raise Refusal(problems)
    cells = sum(
        areas(each.coverage, (each.round_edges_mm, each.across_edges_mm), (plate.round_edges_mm, plate.across_edges_mm))
        for each in laid
    )
    sizes = np.outer(np.diff(plate.round_edges_mm), np.diff(plate.across_edges_mm))
    placed = laid[0].changed(
        None,
        coverage=(cells / sizes).clip(max=1.0),
        round_edges_mm=plate.round_edges_mm,
        across_edges_mm=plate.across_edges_mm,
        frame=Frame.PLATE,
    )
    for step in _copies(placement):
        placed = placed.changed(step)
    return placed, problems


def _copies(placement: Placement) -> Iterator[Step]:
    """Steps that tell of more than one picture on the plate."""
    if placement.repeat.times > 1:
        yield Step(StepKind.REPEATED, {"times": placement.repeat.times})
    if placement.style is not WorkStyle.SHEETWISE:
        yield Step(StepKind.BACKED, {"style": label(f"work_style.{placement.style.value}")})


def _laid(artwork: CoverageMap, placement: Placement, *, back: CoverageMap | None) -> Iterator[CoverageMap]:
    """Every copy of the picture, its edges where it lies on the plate."""
    front = turned(artwork, placement)
    sheet = placement.sheet
    for lead, side in _corners(placement):
        yield _moved(front, lead, side)
    if placement.style is WorkStyle.SHEETWISE:
        return
    if sheet is None:
        raise Refusal(Problem("artwork-style-without-sheet", {"style": label(f"work_style.{placement.style.value}")}))
    rear = turned(back or artwork, placement)
    for corner in _corners(placement):
        yield _backed(rear, corner, sheet=sheet, style=placement.style)


def _corners(placement: Placement) -> Iterator[Corner]:
    repeat, sheet = placement.repeat, placement.sheet
    lead = placement.lead_mm + (sheet.lead_mm if sheet else 0.0)
    side = placement.side_mm + (sheet.side_mm if sheet else 0.0)
    for row in range(repeat.times_round):
        for column in range(repeat.times_across):
            yield lead + row * repeat.step_round_mm, side + column * repeat.step_across_mm


def _backed(rear: CoverageMap, corner: Corner, *, sheet: Sheet, style: WorkStyle) -> CoverageMap:
    """The back of the picture at ``corner``: behind it on the paper once the sheet has been turned over.

    Turned, the sheet keeps its lead edge and changes sides; tumbled, it keeps its side and the tail becomes the lead,
    so the back stands on its head (geometry).
    """
    lead, side = corner
    if style is WorkStyle.WORK_AND_TURN:
        return _moved(rear, lead, 2 * sheet.side_mm + sheet.width_mm - side - rear.across_mm)
    rear = rear.changed(
        None,
        coverage=rear.coverage[::-1, ::-1],
        round_edges_mm=_from_the_end(rear.round_edges_mm),
        across_edges_mm=_from_the_end(rear.across_edges_mm),
    )
    return _moved(rear, 2 * sheet.lead_mm + sheet.length_mm - lead - rear.round_mm, side)


def turned(artwork: CoverageMap, placement: Placement) -> CoverageMap:
    """The picture as it goes on the plate: made positive, mirrored, turned; edges from 0."""
    shares, round_mm, across_mm = artwork.coverage, artwork.round_edges_mm, artwork.across_edges_mm
    steps = []
    if placement.negative:
        shares = 1.0 - shares
        steps.append(Step(StepKind.NEGATIVE))
    if placement.mirrored:
        shares, across_mm = shares[:, ::-1], _from_the_end(across_mm)
        steps.append(Step(StepKind.MIRRORED))
    for _ in range(placement.turn.value // 90):
        # A quarter clockwise: what was the left side, read upwards, becomes the top, read to the right.
        shares, round_mm, across_mm = np.rot90(shares, -1), across_mm, _from_the_end(round_mm)
    if placement.turn.value:
        steps.append(Step(StepKind.TURNED, {"degrees": placement.turn.value}))
    steps.append(
        Step(StepKind.PLACED, {"lead_mm": round(placement.lead_mm, 2), "side_mm": round(placement.side_mm, 2)})
    )
    return CoverageMap(
        ink=artwork.ink,
        coverage=shares,
        round_edges_mm=round_mm - round_mm[0],
        across_edges_mm=across_mm - across_mm[0],
        frame=artwork.frame,
        source=artwork.source,
        steps=(*artwork.steps, *steps),
    )


def _from_the_end(edges_mm: Numbers) -> Numbers:
    turned_round: Numbers = edges_mm[-1] - edges_mm[::-1]
    return turned_round


def _moved(artwork: CoverageMap, lead_mm: float, side_mm: float) -> CoverageMap:
    return artwork.changed(
        None, round_edges_mm=artwork.round_edges_mm + lead_mm, across_edges_mm=artwork.across_edges_mm + side_mm
    )


# What cannot be, or should be known -----------------------------------------------------------------------------------


def _outside(laid: tuple[CoverageMap, ...], placement: Placement, plate: Plate) -> Iterator[Problem]:
    """Image off the plate, off the sheet, under the grippers. Blank paper may lie anywhere."""
    extents = [extent for each in laid if (extent := each.inked_extent_mm())]
    if not extents:
        return
    first, last = min(each[0] for each in extents), max(each[1] for each in extents)
    left, right = min(each[2] for each in extents), max(each[3] for each in extents)
    lead, side = float(plate.round_edges_mm[0]), float(plate.across_edges_mm[0])
    over = _over((first, last, left, right), (lead, lead + plate.usable_mm, side, side + plate.across_mm))
    if max(over.values()) > SLACK_MM:
        size: dict[str, object] = {
            "long_mm": last - first,
            "wide_mm": right - left,
            "usable_mm": plate.usable_mm,
            "across_mm": plate.across_mm,
        }
        yield Problem("artwork-off-the-plate", {**size, **over})
    sheet = placement.sheet
    if sheet is None:
        return
    paper = (sheet.lead_mm, sheet.lead_mm + sheet.length_mm, sheet.side_mm, sheet.side_mm + sheet.width_mm)
    over = _over((first, last, left, right), paper)
    if max(over.values()) > SLACK_MM:
        yield Problem("artwork-off-the-sheet", dict(over))
    elif first < sheet.lead_mm + sheet.gripper_mm - SLACK_MM:
        yield Problem(
            "artwork-under-the-grippers", {"from_lead_mm": first - sheet.lead_mm, "gripper_mm": sheet.gripper_mm}
        )


def _over(inked: tuple[float, ...], room: tuple[float, ...]) -> dict[str, float]:
    """By how many mm image reaches beyond each side; 0 where it does not."""
    beyond = (room[0] - inked[0], inked[1] - room[1], room[2] - inked[2], inked[3] - room[3])
    names = ("lead_over_mm", "tail_over_mm", "operator_over_mm", "drive_over_mm")
    return {name: max(0.0, by) for name, by in zip(names, beyond, strict=True)}


def _on_each_other(laid: tuple[CoverageMap, ...]) -> Iterator[Problem]:
    """Copies whose inked parts lie on one another: their coverage cannot be added."""
    extents = [extent for each in laid if (extent := each.inked_extent_mm())]
    clashes = sum(
        min(a[1], b[1]) - max(a[0], b[0]) > SLACK_MM and min(a[3], b[3]) - max(a[2], b[2]) > SLACK_MM
        for a, b in combinations(extents, 2)
    )
    if clashes:
        yield Problem("artwork-repeats-overlap", {"clashes": clashes, "copies": len(laid)})
