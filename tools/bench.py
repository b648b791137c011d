"""Measure what a person waits for: commands in fresh processes, and answers inside one; each beside a yardstick.

Seconds belong to the machine; the ratios to the yardsticks (a bare Python start, a fixed loop) travel better.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable

from filmsplit.faults.match import match_marks
from filmsplit.figures.train import draw_train
from filmsplit.formats.press_file import loads
from filmsplit.library.workshop import demo_path
from filmsplit.press.facts import facts_of
from filmsplit.press.survey import survey

RUNS = 15
YARDSTICK = 100_000
LARGEST_PRESS, ROUGH_PRESS = "bittern", "dipper"
DEMO_PRESS = "heron"
PROMISED_S: dict[tuple[str, ...], float | None] = {
    ("--version",): 0.25,
    ("--help",): 0.25,
    ("press", "--help"): 0.25,
    ("press", "show", DEMO_PRESS): 0.6,
    ("press", "check", DEMO_PRESS): None,
    ("marks", DEMO_PRESS, "12", "181.7", "351.3"): None,
    ("film", "--help"): 0.25,
    ("film", DEMO_PRESS): None,
    ("words", "vibrator"): None,
}
"""Command: seconds promised (None: only measured)."""


def main() -> int:
    """Print the table; 1 where a median breaks its promise."""
    return int(commands() + answers() > 0)


def commands() -> int:
    """The commands, each in a fresh process. Returns how many broke their promise."""
    broken = 0
    bare = statistics.median(_process(["-c", "pass"]) or 0.0 for _ in range(RUNS))
    _heading("command", "x bare Python")
    for command, promised in PROMISED_S.items():
        measured = [seconds(command) for _ in range(RUNS)]
        times = [each for each in measured if each is not None]
        if len(times) < len(measured):
            broken += 1
            print(f"{' '.join(command):40} ended with an error")
            continue
        broken += _row(" ".join(command), times, promised=promised, yardstick=bare)
    return broken


def answers() -> int:
    """The parts of an answer, warm, inside one process. Returns how many broke their promise."""
    text = demo_path(LARGEST_PRESS).read_text(encoding="utf-8")
    press = loads(text).press
    rough = loads(demo_path(ROUGH_PRESS).read_text(encoding="utf-8")).description.press
    jobs: dict[str, tuple[Callable[[], object], float | None]] = {
        f"read {LARGEST_PRESS} ({len(text) / 1000:.0f} kB)": (lambda: loads(text), None),
        f"relax {ROUGH_PRESS} (3 units)": (lambda: survey(rough), None),
        f"facts of {LARGEST_PRESS}": (lambda: facts_of(press), None),
        f"draw {LARGEST_PRESS} (21 rollers)": (lambda: draw_train(press), None),
        f"match three marks on {LARGEST_PRESS}": (lambda: match_marks(press, [12.0, 181.7, 351.3]), 0.1),
    }
    yardstick = statistics.median(timed(lambda: sum(number * number for number in range(YARDSTICK))))
    print()
    _heading("answer", "x yardstick")
    broken = sum(
        _row(name, timed(job), promised=promised, yardstick=yardstick) for name, (job, promised) in jobs.items()
    )
    print(f"yardstick: the sum of {YARDSTICK} squares, {yardstick:.4f} s")
    return broken


def _heading(what: str, ratio: str) -> None:
    print(f"{what:40} {'best s':>8} {'median s':>9} {'promised':>9} {ratio:>14}")


def _row(name: str, times: list[float], *, promised: float | None, yardstick: float) -> bool:
    """Print one line; whether it broke its promise."""
    median = statistics.median(times)
    late = promised is not None and median > promised
    shown = "-" if promised is None else f"{promised:.2f}"
    end = "  LATE" if late else ""
    print(f"{name:40} {min(times):8.4f} {median:9.4f} {shown:>9} {median / yardstick:14.1f}{end}")
    return late


def timed(job: Callable[[], object]) -> list[float]:
    """Wall-clock of several runs, the first left out: it pays for what is loaded once."""
    job()
    times = []
    for _ in range(RUNS):
        began = time.perf_counter()
        job()
        times.append(time.perf_counter() - began)
    return times


def seconds(command: tuple[str, ...]) -> float | None:
    """Wall-clock of one command in a fresh process; None where it ended with an error."""
    return _process(["-m", "filmsplit", *command])


def _process(arguments: list[str]) -> float | None:
    began = time.perf_counter()
    done = subprocess.run([sys.executable, *arguments], check=False, capture_output=True)
    return None if done.returncode else time.perf_counter() - began


if __name__ == "__main__":
    sys.exit(main())
