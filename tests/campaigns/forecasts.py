"""The campaign of forecasts: invented shops of ten kinds, each interval held against the true day of crossing.

Run from the project's folder: ``python tests/campaigns/forecasts.py [shops of each kind] [kinds]``. Prints what
docs/performance.md records and ends with a non-zero code where a promise is broken.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from condition.ageing_shops import HABITS
from condition.backtest import Score, back_test

LEAST, MOST, WIDEST = 0.70, 0.90, 1.5
"""An 80 % interval holds 70 to 90 %, and is at most so many times as wide as that of one told the truth."""


def main() -> int:
    shops = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    print("| shops | covers | held by 80 % interval | by one told | width, years | told, years | ratio | settled |")
    print("|---|---|---|---|---|---|---|---|")
    kept = []
    for name in sys.argv[2:] or HABITS:
        score = back_test(name, shops=shops)
        kept.append(keeps(score))
        print(
            f"| {name} | {score.covers} | {score.coverage:.1%} | {score.told_coverage:.1%} | {score.width / 365.25:.2f}"
            f" | {score.told_width / 365.25:.2f} | {score.ratio:.2f} | {score.settled:.0%} |"
            f"{'' if kept[-1] else ' BROKEN'}",
            flush=True,
        )
    return int(not all(kept))


def keeps(score: Score) -> bool:
    return LEAST <= score.coverage <= MOST and score.ratio <= WIDEST


if __name__ == "__main__":
    sys.exit(main())
