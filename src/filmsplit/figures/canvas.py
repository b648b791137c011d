"""A paper of characters: braille dots with letters over them, or plain characters."""

from __future__ import annotations

from dataclasses import dataclass

_DOTS = {(0, 0): 0x01, (0, 1): 0x02, (0, 2): 0x04, (1, 0): 0x08, (1, 1): 0x10, (1, 2): 0x20, (0, 3): 0x40, (1, 3): 0x80}


@dataclass(frozen=True, slots=True)
class Cells:
    """How fine the paper of characters is: dots in a cell across and down, and the size of a cell."""

    across: int
    down: int
    columns: int
    rows: int


class Canvas:
    """Dots and letters on a paper of characters."""

    def __init__(self, cells: Cells, *, plain: bool) -> None:
        self._cells, self._plain = cells, plain
        self._dots = [[0] * cells.columns for _ in range(cells.rows)]
        self._letters: list[list[str]] = [[""] * cells.columns for _ in range(cells.rows)]

    def dot(self, x: int, y: int, *, rim: str) -> None:
        """One dot; in plain characters the rim's character."""
        column, row = x // self._cells.across, y // self._cells.down
        if not (0 <= column < self._cells.columns and 0 <= row < self._cells.rows):
            return
        if self._plain:
            self._letters[row][column] = rim
        else:
            self._dots[row][column] |= _DOTS[x % 2, y % 4]

    def write(self, words: str, *, column: int, row: int) -> None:
        """Letters over the dots."""
        for i, letter in enumerate(words):
            if 0 <= column + i < self._cells.columns and 0 <= row < self._cells.rows:
                self._letters[row][column + i] = letter

    def lines(self) -> list[str]:
        """The finished lines, without blanks at their ends."""
        rows = zip(self._dots, self._letters, strict=True)
        return ["".join(self._cell(d, c) for d, c in zip(*row, strict=True)).rstrip() for row in rows]

    def _cell(self, dots: int, letter: str) -> str:
        if letter:
            return letter
        return chr(0x2800 + dots) if dots else " "


def in_ascii(line: str) -> str:
    """A letter ASCII lacks loses its accent, or becomes a question mark."""
    from unicodedata import normalize  # noqa: PLC0415 - plain terminals are rare

    bare = "".join(letter for letter in normalize("NFKD", line) if not 0x300 <= ord(letter) < 0x370)
    return bare.encode("ascii", "replace").decode("ascii")
