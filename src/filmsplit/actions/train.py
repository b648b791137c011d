"""The train as lines of text, for a terminal."""

from __future__ import annotations

from filmsplit.figures.terminal import draw_in_terminal
from filmsplit.press import Press


def sketch(press: Press, *, columns: int, plain: bool) -> tuple[str, ...]:
    """The train of ``press``, ``columns`` wide; ``plain`` keeps to ASCII."""
    return draw_in_terminal(press, columns=columns, plain=plain)
