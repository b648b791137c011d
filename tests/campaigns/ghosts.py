"""No ghost where nothing ghosts, and planted ghosts found again, on the demo presses. The table of docs/performance.md.

Even layouts: blocks of random tints side by side from one lead to one tail edge, none of them on the edges of cells,
with a noise of 1 % from millimetre to millimetre. Planted: a bare window at random in a random tint; found is a dark
ghost that begins and ends within 3 mm of where the window's repeats by one or several neighbouring form rollers do
(repeats that touch are told as one), and whose element is the window within 3 mm; only layouts whose strongest
difference is at least 1 % are counted (the others have no ghost).
Run from the project's folder: ``python tests/campaigns/ghosts.py [COUNT]``. Ends with 1 where a promise is broken.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from filmsplit.actions.find import find_press
from filmsplit.ink.splitting import Array
from filmsplit.simulation.settle import settle
from filmsplit.studies.cures import Trial
from filmsplit.studies.film_checks import reach_of
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import FilmSetting, settings_of
from filmsplit.studies.ghosts import VISIBLE, Box, GhostMap, form_lengths, ghost_map

COUNT = 200
PRESSES = ("heron", "dipper", "wagtail", "lapwing")
NOISE = 0.01
WITHIN_MM = 3.0
COUNTED = 0.01
SOUGHT = 0.005
FOUND = 0.95
FILM_UM = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted:
    """A window on the sheet, and whether its ghost was found; ``None`` where there is none to find."""

    window: Box
    found: bool | None


def main() -> int:
    """The table; 1 where a promise is broken."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else COUNT
    strongest = [even(np.random.default_rng([1, seed]), PRESSES[seed % len(PRESSES)]) for seed in range(count)]
    false = sum(each >= VISIBLE for each in strongest)
    print(f"{count} even layouts: {false} with a ghost of {VISIBLE:.0%} or more; strongest {max(strongest):.2%}")
    planted = [plant(np.random.default_rng([2, seed]), PRESSES[seed % len(PRESSES)]) for seed in range(count)]
    counted = [each for each in planted if each.found is not None]
    part = sum(bool(each.found) for each in counted) / max(len(counted), 1)
    print(f"{count} planted windows: {len(counted)} with a ghost of {COUNTED:.0%} or more, {part:.1%} found")
    return int(false > 0 or part < FOUND)


def setting_of(coverage: Array, size_mm: tuple[float, float], *, name: str) -> FilmSetting:
    """A layout in cells of 1 mm on a demo press."""
    press = find_press(name).press
    (setting,) = settings_of(press, press.units[:1], FilmQuestion(coverage=coverage, sheet_mm=size_mm))
    return setting


def blank(rng: np.random.Generator, name: str) -> tuple[Array, tuple[float, float]]:
    """A sheet that fits the press, no image on it."""
    press = find_press(name).press
    most = reach_of(press, press.units[0])
    rows, columns = (int(side * rng.uniform(0.8, 1.0)) for side in most)
    return np.zeros((rows, columns)), (float(rows), float(columns))


def looked_at(setting: FilmSetting, *, visible: float) -> tuple[GhostMap, Trial]:
    """Settled with one film in all keys that have image before them."""
    trial = Trial(film_um=FILM_UM)
    zoned = trial.zoned(setting)
    films = trial.films_um(zoned)
    solution = settle(zoned.train, zoned.keyed(films), throw=True)
    return ghost_map(zoned, films, solution=solution, visible=visible, trials=1), trial


def even(rng: np.random.Generator, name: str) -> float:
    """The strongest difference on an even layout."""
    coverage, size = blank(rng, name)
    rows, columns = coverage.shape
    lead, tail = rng.uniform(5, 40), rows - rng.uniform(5, 60)
    edges = np.sort(rng.uniform(8, columns - 8, size=int(rng.integers(2, 7))))
    tints = rng.uniform(0.1, 0.98, size=edges.size - 1)
    across = np.zeros(columns)
    for first, last, tint in zip(edges, edges[1:], tints, strict=False):
        across += tint * np.clip(np.minimum(np.arange(columns) + 1, last) - np.maximum(np.arange(columns), first), 0, 1)
    down = np.clip(np.minimum(np.arange(rows) + 1, tail) - np.maximum(np.arange(rows), lead), 0, 1)
    noise = 1 + NOISE * rng.uniform(-1, 1, size=coverage.shape)
    found, _ = looked_at(setting_of(np.clip(np.outer(down, across) * noise, 0, 1), size, name=name), visible=VISIBLE)
    return max((abs(each.strongest) for each in found.areas), default=0.0)


def plant(rng: np.random.Generator, name: str) -> Planted:
    """A bare window in a tint, and whether its ghost was found."""
    coverage, size = blank(rng, name)
    rows, columns = coverage.shape
    coverage[10 : rows - 10, 10 : columns - 10] = rng.uniform(0.3, 1.0)
    long, wide = int(rng.integers(12, 40)), int(rng.integers(15, 80))
    lead, left = int(rng.integers(20, max(21, rows // 3))), int(rng.integers(20, columns - wide - 20))
    coverage[lead : lead + long, left : left + wide] = 0.0
    setting = setting_of(coverage, size, name=name)
    first = setting.sheet.first_mm
    window = Box(lead_mm=lead, tail_mm=lead + long, operator_mm=left + first, gear_mm=left + wide + first)
    found, trial = looked_at(setting, visible=SOUGHT)
    if max((abs(each.strongest) for each in found.areas), default=0.0) < COUNTED:
        return Planted(window=window, found=None)
    lengths = form_lengths(trial.zoned(setting).train).values()
    return Planted(
        window=window,
        found=any(
            is_of(ghost_box, element, window, lengths)
            for ghost_box, element in (
                (each.at, each.cause.element if each.cause else None) for each in found.ghosts if each.dark
            )
        ),
    )


def is_of(at: Box, element: Box | None, window: Box, lengths: Iterable[float]) -> bool:
    """Whether a ghost is the window's repeat, and named as such."""
    lengths = sorted(lengths)
    repeats = any(
        abs(at.lead_mm - window.lead_mm - short) <= WITHIN_MM and abs(at.tail_mm - window.tail_mm - long) <= WITHIN_MM
        for number, short in enumerate(lengths)
        for long in lengths[number:]
    )
    named = element is not None and all(
        abs(a - b) <= WITHIN_MM
        for a, b in zip(
            (element.lead_mm, element.tail_mm, element.operator_mm, element.gear_mm),
            (window.lead_mm, window.tail_mm, window.operator_mm, window.gear_mm),
            strict=True,
        )
    )
    return repeats and named


if __name__ == "__main__":
    sys.exit(main())
