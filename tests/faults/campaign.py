"""The measuring campaign: simulated sheets on the demo presses and on random ones, matched and scored."""

from __future__ import annotations

import random
from pathlib import Path

from faults.presses import random_press
from faults.scoring import Answer, answer
from faults.simulated_sheets import simulate
from filmsplit.formats.press_file import describe
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press import Press

RANDOM_PRESSES = 40


def demo_workshop() -> list[Press]:
    """The presses of the demo workshop as described, their geometry left alone."""
    paths = [Path(demo_path(name)) for name in demo_presses()]
    return [describe(path.read_text(encoding="utf-8"), name=path.name).press for path in paths]


def random_presses(seed: int, *, nearest_mm: float | None = None) -> list[Press]:
    rng = random.Random(seed)
    options = {} if nearest_mm is None else {"nearest_mm": nearest_mm}
    return [random_press(rng, **options) for _ in range(RANDOM_PRESSES)]


def run(presses: list[Press], *, cases: int, seed: int) -> list[Answer]:
    """``cases`` answers, each press as often as any other."""
    rng = random.Random(seed)
    return [answer(simulate(presses[number % len(presses)], rng)) for number in range(cases)]
