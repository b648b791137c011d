"""Sixteen tablets record at once for ten minutes; the server is killed and started again three times.

Run: python tests/campaigns/tablets.py [MINUTES]
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from web.tablets import at_once, on_record

TABLETS, PAUSE_S, KILLS = 16, 2.0, 3
PROMISED_S = 0.3


def main() -> int:
    """Print the figures; 1 where something was lost or doubled, or the promised time was missed."""
    minutes = float(sys.argv[1]) if len(sys.argv) > 1 else 10.0
    with tempfile.TemporaryDirectory() as folder:
        tally = at_once(Path(folder), tablets=TABLETS, lasting_s=60 * minutes, pause_s=PAUSE_S, kills=KILLS)
        kept = on_record(Path(folder))
    lost, more = len(tally.confirmed - set(kept)), sum(count > 1 for count in kept.values())
    print(f"{TABLETS} tablets, {minutes:g} minutes, {KILLS} kills, load {os.getloadavg()[0]:.1f}")
    print(f"confirmed {len(tally.confirmed)}, on record {len(kept)}")
    print(f"lost {lost}, doubled {more}, given up {tally.given_up}")
    print(f"sent again {tally.repeated}; median {statistics.median(tally.seconds):.3f} s, p95 {tally.p95_s():.3f} s")
    return int(bool(lost or more or tally.given_up or tally.p95_s() > PROMISED_S))


if __name__ == "__main__":
    sys.exit(main())
