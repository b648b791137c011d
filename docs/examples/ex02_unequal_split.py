"""What if ink does not split evenly? A little at each nip is a lot at the ductor.

Where each nip leaves the part alpha of its ink on the sheet's side, the nips hold more and more, or less and less, as
one goes up the train: with 60 % the fifth nip holds 4.3 times what the sheet takes, with 50 % ten times, with 40 %
thirty-three times. So the split cannot be read off the print, but the ink on the upper rollers tells it at once.

Closed form: the nth nip from the sheet holds q (1 - r^n)/(2 alpha - 1), r = (1 - alpha)/alpha, for a print of q.
Source: algebra, ink in = ink out at every nip.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from gallery import picture
from small_trains import chain, cut, demand_on, settled

from filmsplit.figures.axes import exact_axis, linear_axis
from filmsplit.ink.transfer import FixedShare
from filmsplit.simulation.march import march

SHARES = (0.4, 0.5, 0.6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What each nip holds over what the sheet takes, from the sheet up, for one share."""

    share: float
    over_sheet: tuple[float, ...]


def main() -> tuple[Held, ...]:
    """Three rollers on a solid, for three shares."""
    return tuple(_held(share) for share in SHARES)


def _held(share: float) -> Held:
    train = cut(chain(3, share=share), round_mm=2.0)
    demand = replace(demand_on(train, 1.0), transfer=FixedShare(tau=share))
    solution = settled(train, demand)
    assert solution.state is not None
    done = march(train, demand, state=solution.state, revolutions=1, watch=True)
    assert done.passing is not None
    q = float(done.sheet_means_um[0])
    films = done.passing.leaving.sum(axis=2) / done.passing.weight.sum(axis=2)
    return Held(share=share, over_sheet=(1 / share, *(float(both.sum()) / q for both in films[::-1])))


def visualize(result: tuple[Held, ...]) -> str:
    """Ink in the nips, one line for each share."""
    return picture(
        "A split that is a little off is far off at the ductor",
        [
            (f"{r.share:.0%} stay on the sheet's side", [(n + 1.0, t) for n, t in enumerate(r.over_sheet)])
            for r in result
        ],
        says="three rollers in a row on a solid, every nip splitting alike",
        x=exact_axis("nip, counted from the sheet up", 1.0, 5.0, most=4),
        y=linear_axis("ink in the nip / ink on the sheet", 0.0, 33.0),
    )


if __name__ == "__main__":
    for found in main():
        print(f"{found.share:.0%} to the sheet's side: the nips hold", ", ".join(f"{t:.2f}" for t in found.over_sheet))
