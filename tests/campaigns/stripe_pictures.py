"""The large campaign of stripes read from pictures: prints what is recorded in docs/performance.md.

Run from the project's folder: ``python tests/campaigns/stripe_pictures.py [readable pictures] [workers]``. Every
picture is drawn apart from the reader (tests/stripe_picture). Ends with 1 when a promise is broken.
"""

from __future__ import annotations

import os
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from stripe_picture.drawn_cases import readable, unreadable
from stripe_picture.drawn_pictures import Scene, Shot
from stripe_picture.scoring import PROMISED_MM, Scored, score

LEAST_KEPT, LEAST_COVERED = 0.95, 0.95


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 320
    workers = int(sys.argv[2]) if len(sys.argv) > 2 else os.cpu_count()
    spoiled = list(unreadable())
    with ProcessPoolExecutor(workers) as pool:
        asked = [readable(number) for number in range(count)]
        scored = list(_told(pool.map(score, *zip(*asked, strict=True)), asked))
        refused = list(pool.map(score, [scene for _, scene, _ in spoiled], [shot for _, _, shot in spoiled]))
    good = _print_readable(scored)
    return 0 if _print_unreadable([kind for kind, _, _ in spoiled], refused) and good else 1


def _told(scored: Iterable[Scored], asked: list[tuple[Scene, Shot]]) -> Iterator[Scored]:
    """Each result as it comes; what broke the promise with how it was drawn, to be drawn again."""
    for number, (each, (scene, shot)) in enumerate(zip(scored, asked, strict=True)):
        if not each.kept:
            worst = max(map(abs, each.errors_mm), default=float("nan"))
            print(
                f"{number}: worst {worst:.3f} mean {each.mean_error_mm:+.3f} {each.refused}\n  {scene}\n  {shot}",
                flush=True,
            )
        yield each


def _print_readable(scored: list[Scored]) -> bool:
    read = [each for each in scored if each.errors_mm]
    errors = np.concatenate([each.errors_mm for each in read])
    stated = np.concatenate([each.stated_mm for each in read])
    kept = sum(each.kept for each in scored) / len(scored)
    kept_mean = sum(each.kept_mean for each in scored) / len(scored)
    covered = float(np.mean(np.abs(errors) <= stated))
    rows = {
        "readable pictures": f"{len(scored)}, read {len(read)}",
        f"every width within {PROMISED_MM} mm": f"{kept:.1%} of all",
        f"mean width within {PROMISED_MM} mm": f"{kept_mean:.1%} of all",
        f"single widths within {PROMISED_MM} mm": f"{np.mean(np.abs(errors) <= PROMISED_MM):.2%} of {len(errors)}",
        "error of a width": f"mean {errors.mean():+.3f} mm, rms {np.sqrt(np.mean(errors**2)):.3f} mm",
        "stated uncertainty covers": f"{covered:.1%} of widths, median {np.median(stated):.2f} mm",
        "place of the card right": f"{np.mean([each.right_place for each in read]):.1%} of those read",
        "error of the taper": f"rms {np.sqrt(np.mean([each.taper_error_mm**2 for each in read])):.3f} mm over 100 mm",
        "refused": str(dict(Counter(slug for each in scored for slug in each.refused))),
    }
    for name, value in rows.items():
        print(f"| {name} | {value} |")
    return kept >= LEAST_KEPT and covered >= LEAST_COVERED


def _print_unreadable(kinds: list[str], scored: list[Scored]) -> bool:
    """Whether all of them were refused."""
    print(f"\n| unreadable by | refused of {len(scored) // len(set(kinds))} | as |\n|---|---|---|")
    for kind in dict.fromkeys(kinds):
        own = [each for name, each in zip(kinds, scored, strict=True) if name == kind]
        slugs = sorted({slug for each in own for slug in each.refused})
        print(f"| {kind} | {sum(not each.errors_mm for each in own)} | {', '.join(slugs)} |")
    return all(not each.errors_mm for each in scored)


if __name__ == "__main__":
    sys.exit(main())
