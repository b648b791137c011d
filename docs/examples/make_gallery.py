"""Draw the picture of every example into docs/pictures/examples."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

EXAMPLES = (
    "ex01_chain",
    "ex02_unequal_split",
    "ex03_form_rollers",
    "ex04_rider",
    "ex05_ghost",
    "ex06_start_up",
    "ex07_stroke",
    "ex08_rider_comb",
    "ex09_thrown_off",
    "ex10_dry_key",
    "ex11_no_sheets",
    "ex12_sweep_or_keys",
    "ex13_learning_week",
)
PICTURES = Path(__file__).parent.parent / "pictures" / "examples"


def drawn(name: str) -> str:
    """The picture of one example."""
    example = import_module(name)
    return str(example.visualize(example.main()))


if __name__ == "__main__":
    for name in EXAMPLES:
        (PICTURES / f"{name}.svg").write_text(drawn(name), encoding="utf-8")
