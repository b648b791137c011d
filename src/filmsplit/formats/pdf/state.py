"""What a content stream has set so far: the part of the graphics state that says which ink goes where."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

import pikepdf

from filmsplit.formats.pdf.colour import Space

Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """A current colour: so much of each component of a space, or a pattern (with components where it has no colour)."""

    space: Space
    values: tuple[float, ...]
    pattern: pikepdf.Object | None = None

    @property
    def key(self) -> tuple[object, ...]:
        """Equal for paints that look alike. Spaces and patterns live as long as the page is read."""
        pattern = None if self.pattern is None else (self.pattern.objgen, id(self.pattern))
        return (id(self.space), self.values, pattern)


@dataclass(slots=True, kw_only=True)
class State:
    """The graphics state, as far as it decides on ink. ``matrix`` maps to the page; ``isolated`` says that a group
    with a backdrop of its own is open."""

    fill: Paint
    stroke: Paint
    fill_over: bool = False
    stroke_over: bool = False
    overprint_mode: int = 0
    blend: str = "Normal"
    fill_alpha: float = 1.0
    stroke_alpha: float = 1.0
    masked: bool = False
    line_width: float = 1.0
    matrix: Matrix = IDENTITY
    text_mode: int = 0
    font: pikepdf.Object | None = None
    font_size: float = 0.0
    isolated: bool = False

    def copy(self) -> State:
        return replace(self)

    @property
    def scale(self) -> float:
        """How much longer a line becomes on its way to the page, as a mean over directions."""
        a, b, c, d, _, _ = self.matrix
        return sqrt(abs(a * d - b * c))

    @property
    def key(self) -> tuple[object, ...]:
        """Equal for states under which a form is drawn alike. The scale matters to thin lines only: to two digits."""
        overs = (self.fill_over, self.stroke_over, self.overprint_mode, self.isolated)
        looks = (self.blend, self.fill_alpha, self.stroke_alpha, self.masked, self.text_mode)
        lines = (self.line_width, f"{self.scale:.1e}")
        return (self.fill.key, self.stroke.key, overs, looks, lines)

    def grouped(self, *, isolated: bool) -> State:
        """The state in which a transparency group begins (ISO 32000-2, 11.6.6)."""
        return replace(
            self,
            blend="Normal",
            fill_alpha=1.0,
            stroke_alpha=1.0,
            masked=False,
            isolated=self.isolated or isolated,
        )


def product(first: Matrix, then: Matrix) -> Matrix:
    """The matrix that maps by ``first`` and then by ``then``."""
    a, b, c, d, e, f = first
    g, h, i, j, k, m = then
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)
