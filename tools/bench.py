"""Measure what a person waits for: start-up of the commands, best and median of several runs in fresh processes."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

PROGRAM = Path(sys.executable).parent / "filmsplit"
RUNS = 15
PROMISED_S = {
    ("--version",): 0.25,
    ("--help",): 0.25,
    ("press", "--help"): 0.25,
    ("demo",): None,
}
"""Command: seconds promised (None: only measured)."""


def main() -> int:
    """Print the table; 1 where a median breaks its promise."""
    broken = 0
    print(f"{'command':40} {'best s':>8} {'median s':>9} {'promised':>9}")
    for command, promised in PROMISED_S.items():
        times = [seconds(command) for _ in range(RUNS)]
        median = statistics.median(times)
        late = promised is not None and median > promised
        broken += late
        shown = "-" if promised is None else f"{promised:.2f}"
        print(f"{' '.join(command):40} {min(times):8.3f} {median:9.3f} {shown:>9}{'  LATE' if late else ''}")
    return int(broken > 0)


def seconds(command: tuple[str, ...]) -> float:
    """Wall-clock of one fresh process."""
    began = time.perf_counter()
    subprocess.run([str(PROGRAM), *command], check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - began


if __name__ == "__main__":
    sys.exit(main())
