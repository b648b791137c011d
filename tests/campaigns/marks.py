"""The large campaign of the mark matcher: prints the table recorded in docs/performance.md.

Run from the project's folder: ``python tests/campaigns/marks.py [cases per row]``.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from faults.campaign import demo_workshop, random_presses, run
from faults.presses import bench_press
from faults.scoring import Score, score
from faults.simulated_sheets import simulate
from filmsplit.faults import match_marks
from filmsplit.press import Press

TIMED = 500


def main() -> None:
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    rows = [(press.id, [press], cases // 5) for press in demo_workshop()]
    rows.append(("all demo presses", demo_workshop(), cases))
    rows.append(("40 random presses", random_presses(11), cases))
    rows.append(("40 random presses, diameters not kept apart", random_presses(12, nearest_mm=0.0), cases))
    print("| presses | cases | excluded | first | in first three | calibration error | told | told rightly |")
    print("|---|---|---|---|---|---|---|---|")
    for name, presses, number in rows:
        print(_line(name, score(run(presses, cases=number, seed=13))), flush=True)
    print()
    print("| answer | median ms | slowest ms |")
    print("|---|---|---|")
    for name, presses in (("demo presses, all units", demo_workshop()), ("bench press", [bench_press()])):
        print(_times(name, presses), flush=True)


def _line(name: str, measured: Score) -> str:
    shares = (measured.excluded, measured.first, measured.in_three)
    told = (measured.told, measured.told_right)
    figures = [
        *(f"{share:.1%}" for share in shares),
        f"{measured.calibration_error:.3f}",
        *(f"{share:.1%}" for share in told),
    ]
    return " | ".join([f"| {name}", str(measured.cases), *figures]) + " |"


def _times(name: str, presses: list[Press]) -> str:
    """Without the unit being told, so that every unit is searched."""
    rng = random.Random(17)
    cases = [simulate(presses[number % len(presses)], rng) for number in range(TIMED)]
    taken = []
    for case in cases:
        begun = time.perf_counter()
        match_marks(case.press, case.readings)
        taken.append(1000 * (time.perf_counter() - begun))
    taken.sort()
    return f"| {name} | {taken[TIMED // 2]:.1f} | {taken[-1]:.1f} |"


if __name__ == "__main__":
    main()
