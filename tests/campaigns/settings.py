"""The large campaign of settings, corrections, learning and short runs: prints what docs/performance.md records.

Run from the project's folder: ``python tests/campaigns/settings.py [plates] [presses] [short runs]``. Ends with a
non-zero code where a promise is broken. Everything is drawn with fixed seeds on an invented press.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from filmsplit.press.fountain import Fountain
from filmsplit.setup.aim import SolidAim
from filmsplit.setup.first_sheet import Spread, press_sides
from filmsplit.setup.settings import Settings, settings_for
from filmsplit.setup.short_run import ShortJob, is_short, plan_short_run
from filmsplit.setup.sweep_response import SweepResponse
from filmsplit.simulation.response import start_up
from setup.conftest import bench
from setup.hidden_press import CURVE, drawn_press, hidden_press
from setup.loop import AIM, first_and_second, intervals_hold, learned_from, learned_off
from setup.reachable import printed, reachable

PRESS = "dipper"
ZONES = 8
JOBS = 6


def main() -> int:
    counts = [int(each) for each in sys.argv[1:]] + [12, 60, 60][len(sys.argv) - 1 :]
    plates, presses, runs = counts
    rig = bench(PRESS)
    fountain = rig.unit.fountain
    assert fountain is not None
    responses = [rig.response(_plate(seed)) for seed in range(max(plates, JOBS))]
    aim = SolidAim(density=AIM, curve=CURVE)
    found = [settings_for(each, fountain, unit="A", aim=aim) for each in responses]
    kept = [
        _put_back(responses, found),
        _hidden(responses, found, presses=presses),
        _logged(fountain, responses[:JOBS], presses=presses),
        _calibrated(fountain, responses[:JOBS], presses=presses),
        _short(responses, found, runs=runs),
    ]
    return int(not all(kept))


def _plate(seed: int) -> list[float]:
    """Coverage that wanders from zone to zone, now and then steeply."""
    rng = np.random.default_rng(seed)
    steps = rng.normal(0.0, rng.choice([0.1, 0.2, 0.6]), ZONES)
    return [float(each) for each in np.clip(rng.uniform(0.08, 0.3) * np.exp(np.cumsum(steps)), 0.02, 0.9)]


def _told(name: str, value: float, promised: float, *, at_least: bool = True) -> bool:
    good = value >= promised if at_least else value <= promised
    print(
        f"| {name} | {value:.3f} | {'≥' if at_least else '≤'} {promised:g} | {'kept' if good else 'BROKEN'} |",
        flush=True,
    )
    return good


def _put_back(responses: list[SweepResponse], found: list[Settings]) -> bool:
    """Settings put back into the engine."""
    off, can_count = [], 0
    for response, settings in zip(responses, found, strict=True):
        can = reachable(response, settings)
        can_count += int(can.sum())
        prints = printed(response, settings, settings.plan.keys.films_um)
        off += list(np.abs(prints[can] / settings.aim_um - 1.0))
    print(f"{len(found)} plates, {can_count} of {ZONES * len(found)} zones within reach")
    return _told("largest part off the aim where it can be reached", max(off, default=0.0), 0.01, at_least=False)


def _smooth(found: list[Settings]) -> list[int]:
    """Plates of which every zone is within reach."""
    return [n for n in range(len(found)) if not found[n].plan.keys.unreached] or [0]


def _hidden(responses: list[SweepResponse], found: list[Settings], *, presses: int) -> bool:
    """First sheets in their band, and second ones after a correction, on plates within reach."""
    whole = _smooth(found)
    spreads = {n: _spread(responses[n], found[n]) for n in whole}
    sheets = []
    for seed in range(presses):
        n = whole[seed % len(whole)]
        press = hidden_press(seed, ZONES)
        sheets.append(first_and_second(press, responses[n], found[n], spread=spreads[n], seed=seed))
    first = _told("zones of first sheets inside their band", float(np.mean([each.inside for each in sheets])), 0.8)
    second = np.array([each.second_off for each in sheets])
    print(f"after one correction: median of the worst zone {np.median(second):.3f} D, worst press {second.max():.3f} D")
    return (
        _told("presses with every reachable zone within 0.05 D after it", float(np.mean(second < 0.05)), 1.0) and first
    )


def _spread(response: SweepResponse, settings: Settings) -> Spread:
    zoned = response.zoned.swept(settings.plan.sweep_mm)
    low, high = press_sides(zoned, settings.plan.keys.films_um, solution=settings.plan.solution)
    return Spread(press_low=low, press_high=high)


def _logged(fountain: Fountain, responses: list[SweepResponse], *, presses: int) -> bool:
    """First sheets after five logged jobs, on a plate within reach."""
    aim = SolidAim(density=AIM, curve=CURVE)
    whole = [
        each for each in responses if not settings_for(each, fountain, unit="A", aim=aim).plan.keys.unreached
    ] or responses[:1]
    off = []
    for seed in range(presses):
        last = whole[seed % len(whole)]
        before = [each for each in responses if each is not last][: JOBS - 1]
        off.append(learned_off(hidden_press(seed, ZONES), fountain, [*before, last], sweep_reading=None, seed=seed))
    bare, taught = np.array(off).T
    print(f"worst zone of a first sheet, median: {np.median(bare):.3f} D without a log, {np.median(taught):.3f} D with")
    return _told("presses with first sheets within 0.08 D after five jobs", float(np.mean(taught < 0.08)), 1.0)


def _calibrated(fountain: Fountain, responses: list[SweepResponse], *, presses: int) -> bool:
    """80 % intervals against what is true of drawn presses, after one job and after all."""
    kept = True
    for count in (1, len(responses)):
        held = []
        for seed in range(presses):
            press = drawn_press(seed, ZONES)
            learned = learned_from(press, fountain, responses[:count], sweep_reading=None, seed=seed)
            held.append(intervals_hold(press, learned))
        gains, zeros, splits = (np.mean([each[i] for each in held]) for i in range(3))
        print(f"80 % intervals after {count} jobs hold {splits:.0%} of the splits")
        for name, share in (("gains", gains), ("zeros", zeros)):
            kept &= _told(f"{name} inside their 80 % interval after {count} jobs", float(share), 0.7)
            kept &= _told(f"{name} inside their 80 % interval after {count} jobs", float(share), 0.9, at_least=False)
    return kept


def _short(responses: list[SweepResponse], found: list[Settings], *, runs: int) -> bool:
    """Kept waste of short runs beside settled settings."""
    better, gains, plain, beside = [], [], [], []
    for seed in range(runs):
        rng = np.random.default_rng(seed)
        n = int(rng.integers(len(found)))
        zoned, settings = responses[n].zoned.swept(found[n].plan.sweep_mm), found[n]
        response = start_up(zoned.train, zoned.keyed(settings.plan.keys.films_um), solution=settings.plan.solution)
        assert response.sheets_63 is not None
        sheets = int(rng.uniform(0.4, 3.0) * response.sheets_63)
        assert is_short(sheets, response.sheets_63)
        done = plan_short_run(
            ShortJob(
                zoned=zoned,
                films_um=settings.plan.keys.films_um,
                solution=settings.plan.solution,
                sheets=sheets,
                curve=CURVE,
                tolerance=float(rng.choice([0.07, 0.1, 0.15])),
                widest=0.85 / float(settings.plan.keys.openings.max()),
            )
        )
        better.append(done.gain > 0)
        gains.append(done.gain)
        plain.append(done.plain.waste / sheets)
        beside.append(done.charged.waste - done.best.waste)
    print(
        f"{runs} short runs: settled settings waste {np.mean(plain):.0%} of the sheets; {np.median(gains):.0f} sheets"
        f" kept more (median), {np.median(beside):.0f} of them beside a charge alone"
    )
    return _told("short runs that keep more than settled settings", float(np.mean(better)), 0.9)


if __name__ == "__main__":
    sys.exit(main())
