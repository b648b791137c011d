"""What the coarse cells of `press compare` cost: every figure of every demo press against cells of half the size.

The promises are those that the page of the comparison makes at its foot.
"""

from __future__ import annotations

import sys

from filmsplit.actions.find import find_press
from filmsplit.library.workshop import demo_presses
from filmsplit.studies.character import character_of
from filmsplit.studies.standard_job import COARSE, ERRORS, Cells

HALVED = Cells(
    tint_mm=COARSE.tint_mm / 2,
    ghost_mm=COARSE.ghost_mm / 2,
    mixing_mm=COARSE.mixing_mm / 2,
    across_mm=COARSE.across_mm / 2,
)


def main() -> int:
    """Print the table; 1 where a promise is broken."""
    worst = dict.fromkeys(ERRORS, 0.0)
    for name in demo_presses():
        press = find_press(name).press
        for unit in press.units:
            coarse, fine = (character_of(press, unit, cells=cells) for cells in (COARSE, HALVED))
            for figure in coarse.figures:
                finer = fine.figure(figure.name).value
                print(f"{name} {unit.id} {figure.name:14} {figure.value!s:24} {finer}")
                if figure.value is None or finer is None:
                    return 1
                kind = figure.name.split("_")[0]
                off = abs(figure.value - finer)
                if kind == "respond" and off <= 1:
                    continue
                worst[kind] = max(worst[kind], off if kind == "ghost" else 100 * off / finer)
    for kind, error in worst.items():
        print(f"{kind}: off by at most {error:.2f}, promised {ERRORS[kind]:g}")
    return int(any(error > ERRORS[kind] for kind, error in worst.items()))


if __name__ == "__main__":
    sys.exit(main())
