"""Kill a process while it logs jobs, 2 000 times at random instants: every confirmed record there, none half."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from records.kills import kill_at_random
from records.test_jobs import POSTER

KILLS = 2000


def main() -> int:
    """1 where a record was lost or half there."""
    with tempfile.TemporaryDirectory() as folder:
        tally = kill_at_random(Path(folder) / "shop.db", kills=KILLS, job=POSTER, seed=2030)
    print(f"{tally.kills} kills, {tally.confirmed} confirmed records: {tally.lost} lost, {tally.half} half there")
    return int(tally.lost + tally.half > 0)


if __name__ == "__main__":
    sys.exit(main())
