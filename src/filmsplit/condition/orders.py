"""An order or enquiry for a roller: all a supplier needs, what is missing, and what cannot be."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, fields

from filmsplit.condition.readings import RollerDrawing
from filmsplit.messages import Problem
from filmsplit.press.words import HARD_MATERIALS, Material, Role

LEAST_COVER_MM, MOST_COVER_MM = 2.0, 30.0
"""Covers thinner than this cannot be ground, thicker ones are not made for small presses (memory)."""

SOFTEST_SHORE_A, HARDEST_SHORE_A = 12.0, 95.0
"""Outside, a cover is not soft rubber, or not measured on this scale (common practice)."""

_NEEDED = (
    "diameter_mm",
    "diameter_tolerance_mm",
    "core_mm",
    "face_mm",
    "length_mm",
    "journal_mm",
    "ends",
    "hardness_shore_a",
    "compound",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """What the roller will meet: the compound has to stand it. Empty texts: nobody has said."""

    inks: tuple[str, ...] = ()
    """Families, such as "oil" and "ultraviolet"."""
    wash: str = ""
    """Class, such as "mineral" or "vegetable"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """An order for a re-cover or a new roller.

    ``missing`` names fields of the drawing (and the duty) that a supplier will ask for; ``problems`` say why it cannot
    be made as written: with any in it, it is not to be sent.
    """

    roller: str
    role: Role | None
    drawing: RollerDrawing
    duty: Duty
    missing: tuple[str, ...]
    problems: tuple[Problem, ...]

    @property
    def can_be_sent(self) -> bool:
        return not self.problems and not self.missing


def order_for(
    roller: str, *, role: Role | None, drawing: RollerDrawing, duty: Duty, unfit: Collection[tuple[Material, str]]
) -> Order:
    """Everything a supplier needs to know of one roller. ``unfit``: compounds, and the ink or wash that spoils each."""
    values = {each.name: getattr(drawing, each.name) for each in fields(drawing)}
    hard = drawing.compound in HARD_MATERIALS
    needed = [name for name in _NEEDED if not (hard and name in ("hardness_shore_a", "core_mm"))]
    missing = [name for name in needed if values[name] in (None, "")]
    missing += [] if duty.inks else ["inks"]
    missing += [] if duty.wash else ["wash"]
    return Order(
        roller=roller,
        role=role,
        drawing=drawing,
        duty=duty,
        missing=tuple(missing),
        problems=tuple(_impossible(drawing, duty, unfit=unfit)),
    )


def _impossible(drawing: RollerDrawing, duty: Duty, *, unfit: Collection[tuple[Material, str]]) -> Iterator[Problem]:
    yield from _sizes(drawing)
    hardness = drawing.hardness_shore_a
    if drawing.compound in HARD_MATERIALS:
        if hardness is not None and drawing.compound is not None:
            yield Problem("order-hard-with-shore", {"compound": drawing.compound.value, "hardness": hardness})
    elif hardness is not None and not SOFTEST_SHORE_A <= hardness <= HARDEST_SHORE_A:
        values = {"hardness": hardness, "softest": SOFTEST_SHORE_A, "hardest": HARDEST_SHORE_A}
        yield Problem("order-hardness-not-made", values)
    for met in (*duty.inks, *filter(None, [duty.wash])):
        if drawing.compound is not None and (drawing.compound, met) in unfit:
            yield Problem("order-compound-unfit", {"compound": drawing.compound.value, "met": met})


def _sizes(drawing: RollerDrawing) -> Iterator[Problem]:
    pairs = (
        ("core_mm", "diameter_mm"),
        ("journal_mm", "core_mm"),
        ("journal_mm", "diameter_mm"),
        ("least_diameter_mm", "diameter_mm"),
        ("core_mm", "least_diameter_mm"),
        ("face_mm", "length_mm"),
    )
    for smaller, larger in pairs:
        small, large = getattr(drawing, smaller), getattr(drawing, larger)
        if small is not None and large is not None and small >= large:
            values = {"smaller": smaller, "small": small, "larger": larger, "large": large}
            yield Problem("order-size-not-smaller", values)
    soft = drawing.compound not in (*HARD_MATERIALS, Material.CLOTH)
    if soft and drawing.core_mm is not None and drawing.diameter_mm is not None:
        cover = (drawing.diameter_mm - drawing.core_mm) / 2
        if 0 < cover < LEAST_COVER_MM or cover > MOST_COVER_MM:
            values = {"cover": round(cover, 2), "least": LEAST_COVER_MM, "most": MOST_COVER_MM}
            yield Problem("order-cover-not-made", values)
    if drawing.diameter_tolerance_mm is not None and drawing.diameter_tolerance_mm <= 0:
        yield Problem("order-tolerance-none", {"tolerance": drawing.diameter_tolerance_mm})
