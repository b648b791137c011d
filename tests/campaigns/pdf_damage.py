"""Damage thousands of PDFs at random: prints the table recorded in docs/artwork.md.

Run from the project's folder: ``python tests/campaigns/pdf_damage.py [cases per kind]``. Ends with 1 if any file led to
a fault of ours, or to an end of the process that reads; both reach a person as a message, and are to be mended.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from formats.pdf.damage import FAULT, STOPPED, damaged, good_pdfs, judged

TOGETHER = 100


def main() -> int:
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    failures = 0
    print("| kind | cases | refused | read | faults | ended | slowest ms |")
    print("|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        for number, (kind, good) in enumerate(good_pdfs()):
            tally: Counter[str] = Counter()
            slowest = 0.0
            for first in range(0, cases, TOGETHER):
                which = range(first, min(first + TOGETHER, cases))
                files = [damaged(good, random.Random(f"{number} {case}")) for case in which]
                for case, (outcome, said, seconds) in zip(which, judged(Path(folder), files), strict=True):
                    tally[outcome] += 1
                    slowest = max(slowest, seconds)
                    if outcome in (FAULT, STOPPED):
                        failures += 1
                        print(f"{kind}, case {case}: {outcome}: {said}", file=sys.stderr, flush=True)
            counts = f"{tally['refused']} | {tally['read']} | {tally[FAULT]} | {tally[STOPPED]}"
            print(f"| {kind} | {cases} | {counts} | {1000 * slowest:.0f} |", flush=True)
    return int(failures > 0)


if __name__ == "__main__":
    sys.exit(main())
