"""The content of one stream as it is written for every ink: most of it alike, its greys its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import IntEnum

import pikepdf

from filmsplit.formats.pdf.named import Named


class Slot(IntEnum):
    """What is set for one ink only, and set late: just before something is painted with it."""

    FILL = 0
    STROKE = 1
    TEXT_MODE = 2
    BLEND = 3
    STROKE_ALPHA = 4
    FONT = 5


Tokens = Sequence[bytes | None]
"""One operation by slot; ``None`` where it does not matter."""
UNKNOWN = b""
"""In force is what the stream inherits."""
NOTHING = (None,) * len(Slot)


@dataclass(slots=True)
class Planes:
    """Writes a stream ``count`` times at once. Instructions that all inks share are kept until one differs.
    ``painted`` says by ink whether anything was painted (or clipped) with it.
    """

    count: int
    named: Named
    _parts: list[list[bytes]] = field(init=False)
    _set: list[list[bytes]] = field(init=False)
    _saved: list[list[list[bytes]]] = field(default_factory=list)
    _pending: list[tuple[Sequence[pikepdf.Object], pikepdf.Operator]] = field(default_factory=list)
    _path: list[tuple[Sequence[pikepdf.Object], pikepdf.Operator]] = field(default_factory=list)
    painted: list[bool] = field(init=False)

    def __post_init__(self) -> None:
        self.painted = [False] * self.count
        self._parts = [[] for _ in range(self.count)]
        self._set = [[UNKNOWN] * len(Slot) for _ in range(self.count)]

    def common(self, operands: Sequence[pikepdf.Object], operator: pikepdf.Operator) -> None:
        """An instruction for every ink."""
        self._pending.append((operands, operator))

    def construct(self, operands: Sequence[pikepdf.Object], operator: pikepdf.Operator) -> None:
        """A part of a path: it is written for the inks that paint it."""
        self._path.append((operands, operator))

    def save(self) -> None:
        self._saved.append([list(each) for each in self._set])

    def restore(self) -> None:
        self._set = self._saved.pop()

    def forget(self, slot: Slot) -> None:
        """Something for every ink has set what ``slot`` sets."""
        for each in self._set:
            each[slot] = UNKNOWN

    def write(self, plane: int, painted: bytes, *, tokens: Tokens) -> None:
        """Paint for one ink, with what ``tokens`` set in force."""
        self._flush()
        self._write(plane, painted, tokens=tokens)

    def write_path(self, wanted: Sequence[Sequence[tuple[Tokens, bytes]]]) -> None:
        """Paint the path that was constructed; ``wanted`` is by ink: the operations, none where it is left out."""
        self._flush()
        path = pikepdf.unparse_content_stream(self._path) + b"\n" if self._path else b""
        self._path.clear()
        for plane, operations in enumerate(wanted):
            for tokens, painted in operations:
                # What sets colours may not stand between a path and its painting (ISO 32000-2, figure 9).
                self._write(plane, path + painted, tokens=tokens)

    def finished(self) -> tuple[bytes, ...]:
        """The streams. Whatever was left open is closed, and a path nobody painted is dropped."""
        self._flush()
        self._path.clear()
        return tuple(b"".join(parts) + b"Q\n" * len(self._saved) for parts in self._parts)

    def _flush(self) -> None:
        if self._pending:
            chunk = pikepdf.unparse_content_stream(self._pending) + b"\n"
            self._pending.clear()
            for parts in self._parts:
                parts.append(chunk)

    def _write(self, plane: int, painted: bytes, *, tokens: Tokens) -> None:
        parts, in_force = self._parts[plane], self._set[plane]
        for slot, token in enumerate(tokens):
            if token is not None and token != in_force[slot]:
                in_force[slot] = token
                parts.append(token + b"\n")
        parts.append(painted + b"\n")
        self.painted[plane] = True
