"""Whether a hand is moving settings right now: what is solved beside it then waits, and the sheet answers at once."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

RESTS_AFTER_S = 0.15
"""Without another move for so long: a drag asks far more often, and a page asks for the fine answer after 0.4 s."""
LOOKS_EVERY_S = 0.02


@dataclass(slots=True)
class Hand:
    """When a setting was moved last."""

    moved_at_s: float = float("-inf")

    def moves(self) -> None:
        """A setting is moved, or was until now."""
        self.moved_at_s = time.monotonic()

    @property
    def rests(self) -> bool:
        return time.monotonic() - self.moved_at_s > RESTS_AFTER_S

    def patience(self, most_s: float) -> Callable[[], None]:
        """Waits, whenever it is called, while the hand moves; ``most_s`` in all: somebody waits for it too."""
        left_s = most_s

        def wait() -> None:
            nonlocal left_s
            while left_s > 0 and not self.rests:
                time.sleep(LOOKS_EVERY_S)
                left_s -= LOOKS_EVERY_S

        return wait
