"""Measure what a person waits for: start-up of the commands, best and median of several runs in fresh processes."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

PROGRAM = Path(sys.executable).parent / "filmsplit"
RUNS = 15
DEMO_PRESS = "heron"
PROMISED_S: dict[tuple[str, ...], float | None] = {
    ("--version",): 0.25,
    ("--help",): 0.25,
    ("press", "--help"): 0.25,
    ("press", "show", DEMO_PRESS): 0.6,
    ("press", "check", DEMO_PRESS): None,
    ("marks", DEMO_PRESS, "12", "181.7", "351.3"): None,
    ("words", "vibrator"): None,
}
"""Command: seconds promised (None: only measured)."""


def main() -> int:
    """Print the table; 1 where a median breaks its promise."""
    broken = 0
    print(f"{'command':40} {'best s':>8} {'median s':>9} {'promised':>9}")
    for command, promised in PROMISED_S.items():
        measured = [seconds(command) for _ in range(RUNS)]
        times = [each for each in measured if each is not None]
        if len(times) < len(measured):
            broken += 1
            print(f"{' '.join(command):40} ended with an error")
            continue
        median = statistics.median(times)
        late = promised is not None and median > promised
        broken += late
        shown = "-" if promised is None else f"{promised:.2f}"
        print(f"{' '.join(command):40} {min(times):8.3f} {median:9.3f} {shown:>9}{'  LATE' if late else ''}")
    return int(broken > 0)


def seconds(command: tuple[str, ...]) -> float | None:
    """Wall-clock of one fresh process; None where it ended with an error."""
    began = time.perf_counter()
    done = subprocess.run([str(PROGRAM), *command], check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return None if done.returncode else time.perf_counter() - began


if __name__ == "__main__":
    sys.exit(main())
