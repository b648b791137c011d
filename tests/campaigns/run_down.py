"""Run-downs of hidden presses: does the 80 % interval hold the truth in 70 to 90 % of cases? `python3 dev.py campaign
run_down`. Ends with 1 where it does not."""

from __future__ import annotations

import sys

import numpy as np

from filmsplit.setup.run_down import plan_run_down
from filmsplit.setup.run_down_fit import fit_run_down
from setup.conftest import bench
from setup.run_downs import CURVE, hidden_run_down

CASES = 60


def main() -> int:
    sheets = bench("dipper").zoned([0.2] * 8)
    plan = plan_run_down(sheets, np.full(8, 14.0), zone=4)
    held, store_off, inside, share_off = [], [], [], []
    for seed in range(CASES):
        hidden = hidden_run_down(plan, 1000 + seed)
        found = fit_run_down(plan, hidden.densities, curve=CURVE)
        store = found.stored_um_mm2
        held.append(store.low <= hidden.stored_um_mm2 <= store.high)
        store_off.append(store.value / hidden.stored_um_mm2 - 1)
        for each, true in zip(found.contacts, hidden.contacts, strict=True):
            inside.append(each.share.low <= true <= each.share.high)
            share_off.append(each.share.value - true)
    rms = [float(np.sqrt(np.mean(np.square(each)))) for each in (store_off, share_off)]
    print(f"{CASES} run-downs, 80 % intervals: store held {np.mean(held):.0%} (rms {rms[0]:.1%}), ", end="")
    print(f"contacts held {np.mean(inside):.0%} (rms {rms[1]:.3f})")
    return 0 if all(0.7 <= np.mean(each) <= 0.9 for each in (held, inside)) else 1


if __name__ == "__main__":
    sys.exit(main())
