"""A content stream read once, and written again once an ink: what is painted becomes grey, all else stays as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import pikepdf
from pikepdf import Dictionary

from filmsplit.formats.pdf.colour import Colours, Greys, Space
from filmsplit.formats.pdf.layers import Layers
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import UNREADABLE, Malformed
from filmsplit.formats.pdf.named import Named
from filmsplit.formats.pdf.paints import alpha_token
from filmsplit.formats.pdf.planes import Planes
from filmsplit.formats.pdf.state import State

MOST_INSTRUCTIONS = 20_000_000
"""In one page, each form counted once a way in which it is drawn (invented)."""
MOST_SAVED = 10_000
"""Graphics states that may wait to be restored (invented)."""

Operands = Sequence[pikepdf.Object]
Handler = Callable[["Walk", Operands], None]


@dataclass(slots=True, kw_only=True)
class PageRead:
    """What all streams of one page share. ``dot`` is the side of a drawn dot in units of the page; ``made`` keeps what
    was rewritten already, ``open`` the streams that are being read, so that none is read within itself."""

    pdf: pikepdf.Pdf
    layers: Layers
    ledger: Ledger
    dot: float
    tone: Colours
    made: dict[object, object] = field(default_factory=dict)
    pictures: dict[object, Greys] = field(default_factory=dict)
    open: list[tuple[int, int]] = field(default_factory=list)
    instructions: int = 0

    def counted(self, more: int) -> None:
        """Raises ``Refusal`` where a page asks for more than is ever read."""
        self.instructions += more
        if self.instructions > MOST_INSTRUCTIONS:
            self.endless()

    def endless(self) -> None:
        """Raises ``Refusal``."""
        self.ledger.note("pdf-too-many-instructions", most=MOST_INSTRUCTIONS)
        self.ledger.settle()


@dataclass(slots=True, kw_only=True)
class Walk:
    """One stream on its way. ``hidden`` counts the layers that are off around what is read."""

    page: PageRead
    colours: Colours
    resources: Dictionary
    state: State
    handlers: Mapping[str, Handler]
    named: Named = field(init=False)
    planes: Planes = field(init=False)
    saved: list[State] = field(default_factory=list)
    marked: list[bool] = field(default_factory=list)
    hidden: int = 0
    clips: bool = False
    translucent: bool = False
    blended: bool = False
    spaces: dict[str, Space] = field(default_factory=dict)
    looks: dict[object, object] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.named = Named(self.colours.count)
        self.planes = Planes(self.colours.count, self.named)

    @property
    def ledger(self) -> Ledger:
        return self.page.ledger

    @property
    def count(self) -> int:
        return self.colours.count

    def nested(self, state: State, resources: Dictionary, *, colours: Colours | None = None) -> Walk:
        """The walk through a stream within this one."""
        return Walk(
            page=self.page,
            colours=colours or self.colours,
            resources=resources,
            state=state,
            handlers=self.handlers,
        )

    def run(self, instructions: Sequence[object]) -> tuple[bytes, ...]:
        """The streams, one for each plane."""
        self.page.counted(len(instructions))
        for operands, operator in self.read(instructions):
            name = _name_of(operator)
            handler = self.handlers.get(name)
            if handler is None:
                self.ledger.note("pdf-operator-unknown", operator=name[:20])
                continue
            try:
                handler(self, operands)
            except (Malformed, *UNREADABLE):
                self.ledger.note("pdf-operator-malformed", operator=name[:20])
        return self.planes.finished()

    def read(self, instructions: Sequence[object]) -> Iterator[tuple[Operands, pikepdf.Operator]]:
        """Operands and operator of each; pictures in the content are only read now, and may turn out to be none."""
        for each in instructions:
            try:
                found = each.operands, each.operator  # type: ignore[attr-defined]
            except UNREADABLE:
                self.ledger.note("pdf-operator-malformed", operator="BI")
            else:
                yield found

    def resource(self, category: str, name: object) -> pikepdf.Object:
        """A resource by its name. Raises ``KeyError`` or ``Malformed`` where the stream has none such."""
        found = self.resources[category][str(name)]
        if not isinstance(found, pikepdf.Object):
            raise Malformed("a resource that is a plain value")
        return found

    def named_alpha(self, alpha: float) -> bytes:
        """The operation that makes lines so opaque."""
        return alpha_token(self.named, alpha)

    def save(self) -> None:
        if len(self.saved) >= MOST_SAVED:
            raise Malformed("too many saved states")
        self.saved.append(self.state.copy())
        self.planes.save()

    def restore(self) -> bool:
        """Whether there was a state to go back to."""
        if not self.saved:
            return False
        self.state = self.saved.pop()
        self.planes.restore()
        return True


def _name_of(operator: pikepdf.Operator) -> str:
    try:
        return str(operator)
    except UnicodeDecodeError:  # noise
        return "?"


def numbers(operands: Operands, count: int) -> tuple[float, ...]:
    """So many numbers. Raises ``ValueError`` where there are others."""
    if len(operands) < count:
        raise ValueError(f"{count} numbers are needed")
    return tuple(float(each) for each in operands[-count:]) if count else ()
