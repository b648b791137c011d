"""Damage thousands of plate files, pictures and job tickets: prints the table recorded in docs/artwork.md.

Run from the project's folder: ``python tests/campaigns/plate_files.py [cases per kind]``. Ends with 1 if any file led
to anything but maps or a refusal with whole messages in good time.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from formats.plate_mutations import damaged, good_files, judge

KINDS = (
    "TIFF, not packed",
    "TIFF, CCITT run lengths",
    "TIFF, CCITT group 3",
    "TIFF, CCITT group 4",
    "TIFF, LZW",
    "TIFF, Deflate",
    "TIFF, PackBits",
    "BigTIFF, tiles",
    "TIFF, two pages",
    "TIFF, five inks apart",
    "TIFF, grey, differences",
    "PNG, one bit",
    "PNG, grey",
    "JPEG, grey",
    "JPEG, CMYK",
    "JDF",
    "XJDF",
    "PPF, hexadecimal",
    "PPF, run lengths",
)


def main() -> int:
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    failures = 0
    print("| kind | cases | refused | read | slowest ms |")
    print("|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        for number, (kind, good) in enumerate(zip(KINDS, good_files(), strict=True)):
            outcomes: Counter[str] = Counter()
            slowest = 0.0
            for case in range(cases):
                data = damaged(good, random.Random(f"{number} {case}"))
                begun = time.monotonic()
                try:
                    outcomes[judge(Path(folder) / "plate", data)] += 1
                except Exception as error:  # noqa: BLE001  # what must not happen is counted and shown
                    failures += 1
                    print(f"{kind}, case {case}: {error!r}", file=sys.stderr)
                slowest = max(slowest, time.monotonic() - begun)
            print(
                f"| {kind} | {cases} | {outcomes['refused']} | {outcomes['read']} | {1000 * slowest:.0f} |", flush=True
            )
    return int(failures > 0)


if __name__ == "__main__":
    sys.exit(main())
