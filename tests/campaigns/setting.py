"""The campaign of settings: every group of contacts of the demo presses, set by advice alone in at most three passes.

Run from the project's folder: ``python tests/campaigns/setting.py [trials of each group] [habits]``. Prints what
docs/performance.md records. The promise (90 %) is held for presses as usual; the other kinds are printed beside it.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from condition.setting_trial import Trial, groups, try_setting
from condition.simulated_press import HABITS

PROMISED, PROMISED_OF = 0.90, "usual"
FIRST_SEED = 40_000_000
"""Draws that nothing was tried on while the advice was written."""


def main() -> int:
    each = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    columns = (
        "settings | right after 3 passes | withheld | median worst, mm | 90 % within, mm | mean passes | read again"
    )
    print(f"| presses | {columns} |")
    print("|---|---|---|---|---|---|---|---|")
    kept = True
    for habit in sys.argv[2:] or HABITS:
        trials = [
            try_setting(group, HABITS[habit], seed=FIRST_SEED + 1000 * n + k)
            for n, group in enumerate(groups())
            for k in range(each)
        ]
        right = sum(trial.set_right for trial in trials) / len(trials)
        kept = kept and (habit != PROMISED_OF or right >= PROMISED)
        print(_row(habit, trials, right=right), flush=True)
    return int(not kept)


def _row(habit: str, trials: Sequence[Trial], *, right: float) -> str:
    off = sorted(trial.off_mm for trial in trials)
    passes = sum(trial.passes for trial in trials) / len(trials)
    withheld = sum(trial.withheld for trial in trials) / len(trials)
    again = sum(trial.read_again > 0 for trial in trials) / len(trials)
    return (
        f"| {habit} | {len(trials)} | {right:.1%} | {withheld:.1%} | {off[len(off) // 2]:.2f}"
        f" | {off[int(0.9 * len(off))]:.2f} | {passes:.1f} | {again:.1%} |"
    )


if __name__ == "__main__":
    sys.exit(main())
