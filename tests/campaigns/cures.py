"""Is the cure ranked first the best there is, and is its gain what a march prints? The table of docs/performance.md.

Fifty seeded layouts, four of five on one small demo press, the others on a smaller one. Ranked as
``filmsplit foresee --cures`` does, then tried exhaustively: every cure, and every other kind of cure on top of every
cure, in both orders where it matters. On every fourth layout the first-ranked cure is also marched from empty rollers.
Run from the project's folder: ``python tests/campaigns/cures.py [FIRST LAST]``. Ends with 1 where the first leaves over
5 % more of the ghost than the best, or where the march gains otherwise by over 2 % of the ghost.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from filmsplit.actions.find import find_press
from filmsplit.press import Press
from filmsplit.studies.cure_list import Allowed, Listing
from filmsplit.studies.cure_pairs import with_pairs
from filmsplit.studies.cures import Trial, Tried, gained, ranked
from filmsplit.studies.film_question import FilmQuestion
from filmsplit.studies.film_setting import FilmSetting, settings_of
from studies.exhaustive import exhaustive
from studies.layouts import layout, sheet_of
from studies.marched_ghosts import marched_strongest

LAYOUTS = 50
PRESSES = ("heron", "heron", "heron", "heron", "dipper")
CELLS_MM = (5.0, 6.0)
"""Round and across: coarse, so that thousands of trials take minutes. Ranking and trying out see the same cells."""
MARCH_EVERY = 4
WITHIN_BEST = 0.05
WITHIN_MARCH = 0.02
ANYTHING = Allowed(grain_free=True, stroke_mm=(0.0, 25.0), timing=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One layout: the ghost, the gain of the cure ranked first and of the best there is, and that of a march."""

    seed: int
    press: str
    ghost: float
    first: Tried
    best: float
    trials: int
    taken_s: float
    marched: float | None


def main() -> int:
    """The table; 1 where a promise is broken."""
    first, last = (int(each) for each in sys.argv[1:3]) if len(sys.argv) > 1 else (0, LAYOUTS)
    rows = []
    print("| layout | press | ghost | ranked first | its gain | best of all | trials | gain marched |")
    print("|---|---|---|---|---|---|---|---|")
    for seed in range(first, last):
        row = _row(seed)
        rows.append(row)
        cure = row.first.cure
        names = " + ".join(f"{each.kind.value} {each.what}{each.amount:g}" for each in (cure.parts or (cure,)))
        marched = "" if row.marched is None else f"{row.marched:.1%}"
        print(
            f"| {row.seed} | {row.press} | {row.ghost:.1%} | {names} | {row.first.gain:.1%} | {row.best:.1%} "
            f"| {row.trials} | {marched} |",
            flush=True,
        )
    behind = [row for row in rows if 1 - row.first.gain > (1 + WITHIN_BEST) * (1 - row.best)]
    far = [row for row in rows if row.first.gain < (1 - WITHIN_BEST) * row.best]
    off = [row for row in rows if row.marched is not None and abs(row.marched - row.first.gain) > WITHIN_MARCH]
    away = [abs(row.marched - row.first.gain) for row in rows if row.marched is not None]
    print(
        f"\n{len(rows)} layouts; first leaves at most {WITHIN_BEST:.0%} more than the best on "
        f"{len(rows) - len(behind)}, has {1 - WITHIN_BEST:.0%} of its gain on {len(rows) - len(far)}"
    )
    print(f"behind: {[(row.seed, round(row.first.gain, 3), round(row.best, 3)) for row in behind]}")
    print(f"march: {len(away)} cures, largest difference {max(away, default=0.0):.2%} of the ghost, over: {len(off)}")
    print(f"ranking took {np.median([row.taken_s for row in rows]):.1f} s (median)")
    return int(bool(behind or off))


def _row(seed: int) -> Row:
    press, setting = _job(seed)
    trial = Trial(film_um=10.0, round_mm=CELLS_MM[0])
    listing = Listing(press=press, job=(setting,), worst=0, allowed=ANYTHING)
    begun = time.perf_counter()
    cures, refused = listing.all()
    found = with_pairs(ranked((setting,), cures, trial=trial, refused=refused), listing, trial=trial)
    taken_s = time.perf_counter() - begun
    best, trials = exhaustive(listing, trial)
    first, marched = found.tried[0], None
    if seed % MARCH_EVERY == 0 and len(first.cure.settings) == 1:
        before = marched_strongest(setting, trial)
        marched = gained(before, marched_strongest(first.cure.settings[0], trial))
    return Row(
        seed=seed,
        press=press.id,
        ghost=found.before,
        first=first,
        best=gained(found.before, best),
        trials=trials,
        taken_s=taken_s,
        marched=marched,
    )


def _job(seed: int) -> tuple[Press, FilmSetting]:
    press = find_press(PRESSES[seed % len(PRESSES)]).press
    rng = np.random.default_rng(seed)
    size_mm = sheet_of(press, rng)
    question = FilmQuestion(coverage=layout(size_mm, rng), sheet_mm=size_mm, across_mm=CELLS_MM[1])
    return press, settings_of(press, press.units[:1], question)[0]


if __name__ == "__main__":
    sys.exit(main())
