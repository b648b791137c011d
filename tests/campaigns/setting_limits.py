"""Why settings go wrong: what one who knows the press would reach, and what each single ignorance or error costs.

Run from the project's folder: ``python tests/campaigns/setting_limits.py [trials of each group]``. Prints what
docs/performance.md records; promises nothing.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from condition.setting_oracle import oracle_off_mm
from condition.setting_trial import TARGET_BAND_MM, Trial, groups, try_setting
from condition.simulated_press import HABITS, Habit
from filmsplit.condition.setting_group import SetGroup

FIRST_SEED = 900_000_000
USUAL = HABITS["usual"]
WITHOUT: dict[str, Habit] = {
    "nothing taken away": USUAL,
    "no error of reading": replace(USUAL, reading_mm=0.0),
    "no error of the hand": replace(USUAL, hand_mm=0.0),
    "gains as written": replace(USUAL, gain_spread=0.0),
    "coupling as worked out": replace(USUAL, coupling_spread=0.0),
    "play as written": replace(USUAL, backlash=(1.0, 1.0)),
    "no bow": replace(USUAL, bow_mm=0.0),
    "growth alike in all covers": replace(USUAL, expansion=(2.0e-4, 2.0e-4)),
    "first stripes 2.5 to 5 mm": replace(USUAL, first_stripes_mm=(2.5, 5.0)),
}


def main() -> int:
    each = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    print("| presses | one who knows all reaches |\n|---|---|")
    for name, habit in HABITS.items():
        print(f"| {name} | {_share(_known_off_mm(habit, each)):.1%} |", flush=True)
    print("| usual, travel left | one who knows all | the advice |\n|---|---|---|")
    for left in (0.4, 0.2, 0.1, 0.05):
        known, advised = (_share(off(USUAL, each, left_mm=left)) for off in (_known_off_mm, _advised_off_mm))
        print(f"| {left} mm | {known:.1%} | {advised:.1%} |", flush=True)
    print("| usual, with | right after 3 passes |\n|---|---|")
    for name, habit in WITHOUT.items():
        print(f"| {name} | {_share(_advised_off_mm(habit, each)):.1%} |", flush=True)
    print("| usual, not right because | share of all |\n|---|---|")
    for reason, share in _missed(USUAL, each).items():
        print(f"| {reason} | {share:.1%} |")
    return 0


def _missed(habit: Habit, each: int) -> dict[str, float]:
    """How the settings that did not come right ended, as shares of all."""
    trials = [try_setting(group, habit, seed=seed) for group, seed in _draws(each)]
    missed = [trial for trial in trials if not trial.set_right]
    ended = {
        "withheld": [trial for trial in missed if trial.withheld],
        "thought right, within 0.2 mm of the band": [t for t in missed if t.said_right and not t.withheld and _near(t)],
        "thought right, further off": [t for t in missed if t.said_right and not t.withheld and not _near(t)],
        "a fourth pass would turn, within 0.2 mm of the band": [t for t in missed if not t.said_right and _near(t)],
        "a fourth pass would turn, further off": [t for t in missed if not t.said_right and not _near(t)],
    }
    return {reason: len(found) / len(trials) for reason, found in ended.items()}


def _near(trial: Trial) -> bool:
    return trial.off_mm <= TARGET_BAND_MM + 0.2


def _share(off_mm: Sequence[float]) -> float:
    return sum(one <= TARGET_BAND_MM for one in off_mm) / len(off_mm)


def _known_off_mm(habit: Habit, each: int, *, left_mm: float | None = None) -> list[float]:
    return [oracle_off_mm(_left(group, left_mm), habit, seed=seed) for group, seed in _draws(each)]


def _advised_off_mm(habit: Habit, each: int, *, left_mm: float | None = None) -> list[float]:
    return [try_setting(_left(group, left_mm), habit, seed=seed).off_mm for group, seed in _draws(each)]


def _left(group: SetGroup, travel_mm: float | None) -> SetGroup:
    """The same contacts with so much travel left at every adjuster."""
    if travel_mm is None:
        return group
    contacts = []
    for each in group.contacts:
        assert each.handles is not None
        operator, gear = (replace(handle, travel_left_mm=travel_mm) for handle in each.handles)
        contacts.append(replace(each, handles=(operator, gear)))
    return replace(group, contacts=tuple(contacts))


def _draws(each: int) -> Iterator[tuple[SetGroup, int]]:
    for number, group in enumerate(groups()):
        for trial in range(each):
            yield group, FIRST_SEED + 1000 * number + trial


if __name__ == "__main__":
    sys.exit(main())
