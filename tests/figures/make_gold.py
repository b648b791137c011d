"""Draw the gold files anew. Look at every one of them, on screen and as a grey print, before keeping it."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))


def main() -> None:
    from figures.test_train import GOLD, GOLD_CASES  # noqa: PLC0415 - found only with the path set above

    GOLD.mkdir(exist_ok=True)
    for name, draw in GOLD_CASES.items():
        (GOLD / f"{name}.svg").write_text(draw().svg, encoding="utf-8")


if __name__ == "__main__":
    main()
