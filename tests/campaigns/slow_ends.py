"""Random trains with narrow faces, settled to three accuracies, judged by marching to rest: none may claim too much.

Run from the project's folder: ``python tests/campaigns/slow_ends.py [seeds]``. Ends with 1 if a solve called itself
settled and was further off than was asked for.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from filmsplit.simulation.settle import settle
from physics.marching import at_rest
from physics.random_trains import random_train, train_and_demand

SEEDS = 100
ACCURACIES = (1e-3, 3e-4, 1e-4)


def main() -> int:
    """How many solves there were, how they ended, and every false claim."""
    outcomes: Counter[str] = Counter()
    false = 0
    for seed in range(int(sys.argv[1]) if len(sys.argv) > 1 else SEEDS):
        for feed in ("fountain", "ductor"):
            train, demand = train_and_demand(random_train(seed, feed=feed), seed=seed)
            try:
                rest = at_rest(train, demand, rest=1e-11)
            except AssertionError:
                outcomes["never at rest, not judged"] += 1
                continue
            blanket = train.loops[train.loop_index("blanket")].rows
            exact = rest.films[blanket]
            for accuracy in ACCURACIES:
                solution = settle(train, demand, accuracy=accuracy)
                outcomes[solution.outcome.name] += 1
                if solution.ok and solution.state is not None:
                    error = np.abs(solution.state.films[blanket] - exact).max() / exact[exact > 0].mean()
                    if error > accuracy:
                        false += 1
                        print(f"false: seed {seed}, {feed}, asked {accuracy:g}, off by {error:.2g}")
    print(", ".join(f"{name}: {count}" for name, count in sorted(outcomes.items())), f"- false claims: {false}")
    return int(false > 0)


if __name__ == "__main__":
    sys.exit(main())
