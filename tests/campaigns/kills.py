"""Kill a process while it logs jobs and readings, at random instants: every confirmed record there, none half."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from records.kills import JOBS, READINGS, kill_at_random

KILLS = {"jobs": (JOBS, 2_000), "readings": (READINGS, 10_000)}


def main() -> int:
    """1 where a record was lost or half there."""
    broken = 0
    for name, (what, kills) in KILLS.items():
        with tempfile.TemporaryDirectory() as folder:
            tally = kill_at_random(Path(folder) / "shop.db", what, kills=kills, seed=2030)
        print(f"{name}: {tally}", flush=True)
        broken += tally.lost + tally.half
    return int(broken > 0)


if __name__ == "__main__":
    sys.exit(main())
