"""Measure `filmsplit setup` on a full plate of a 36 x 52 cm press: the whole command and its parts, in one run."""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from filmsplit.actions.demo_works import works, write_work
from filmsplit.formats.coverage_file import read_coverage
from filmsplit.formats.coverage_options import CoverageOptions
from filmsplit.library.works import GIGAPIXEL

RUNS = 3
ASKED_S = 5.0


def main() -> None:
    """Print the table: seconds, and as parts of reading the plate alone."""
    work = works()[GIGAPIXEL]
    with tempfile.TemporaryDirectory() as folder:
        file = write_work(work, Path(folder)).files[0]
        dots = work.plates[0].size[0] * work.plates[0].size[1]
        reading = _median_s(partial(read_coverage, file, CoverageOptions(workers=2)))
        command = [sys.executable, "-m", "filmsplit", "setup", work.press, str(file), "--run", str(work.run)]
        command += ["--sheet", "360x520", "--lead", "10", "--over", "--unrecorded"]
        whole = _median_s(partial(_run, command))
        paper = _median_s(partial(_run, [*command, "--paper", folder]))
    print(f"| {dots / 1e9:.2f} gigapixels, {work.run} sheets, {work.press} | s | × reading the plate |")
    print("|---|---|---|")
    for name, taken in (("reading the plate", reading), ("the command", whole), ("with paper", paper)):
        print(f"| {name} | {taken:.2f} | {taken / reading:.2f} |")
    print(f"asked: the command in {ASKED_S:g} s")


def _run(command: list[str]) -> None:
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def _median_s(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


if __name__ == "__main__":
    main()
