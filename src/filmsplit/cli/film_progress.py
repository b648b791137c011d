"""What is being computed and how far it is, on a terminal's error channel, once it takes more than a second."""

from __future__ import annotations

import time
from contextlib import ExitStack
from types import TracebackType

from rich.console import Console
from rich.progress import BarColumn, Progress, TaskID, TextColumn, TimeElapsedColumn

from filmsplit.messages import label
from filmsplit.studies.film_study import Stage

PATIENCE_S = 1.0
"""Nobody needs to be told about less."""


class Watching:
    """Shows progress from the first word after the patience is over, and clears it at the end, come what may."""

    def __init__(self) -> None:
        self._console = Console(stderr=True)
        self._since = time.monotonic()
        self._open = ExitStack()
        self._progress: Progress | None = None
        self._task = TaskID(0)

    def __enter__(self) -> Watching:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._open.close()

    def tell(self, unit: str, stage: Stage, *, part: float) -> None:
        """What a study tells."""
        self.show(label(f"film_stage.{stage.value}", unit=unit), part=part)

    def show(self, words: str, *, part: float) -> None:
        """What is being done, and how far it is."""
        if self._progress is None:
            if not self._console.is_terminal or time.monotonic() - self._since < PATIENCE_S:
                return
            columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
            self._progress = self._open.enter_context(Progress(*columns, console=self._console, transient=True))
            self._task = self._progress.add_task(words, total=1.0)
        self._progress.update(self._task, description=words, completed=part)
