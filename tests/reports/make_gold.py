"""Write the gold texts of the set-up sheet anew. Read every difference, and look at the pages, before keeping it.

python tests/reports/make_gold.py
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))


def main() -> None:
    from reports.sheet_cases import CASES, GOLD, gold_file, text_of  # noqa: PLC0415 - found only with the path set above

    GOLD.mkdir(exist_ok=True)
    for name, paper in CASES:
        gold_file(name, paper).write_text(text_of(name, paper), encoding="utf-8")


if __name__ == "__main__":
    main()
