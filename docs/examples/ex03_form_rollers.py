"""Which form roller does the work? That depends on the order in which the drum feeds them.

Two form rollers on one drum: if the drum meets first the roller that the plate meets first, that one gives three
quarters of the ink and the second smooths. Meet them the other way round and both give half. Where each form roller
has a film of its own, each gives two thirds of what the one before it gives: the plate comes to it less hungry.

Closed forms: 3/4, 1/4; 1/2, 1/2; 41.5, 27.7, 18.5, 12.3 %. Source: algebra of the even split on a solid.
"""

from __future__ import annotations

from dataclasses import dataclass

from gallery import picture
from small_trains import cut, demand_on, each_fed, on_a_drum, settled

from filmsplit.figures.axes import exact_axis, linear_axis
from filmsplit.simulation.network import Network


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """Part of the ink that each form roller gives, in the order in which the plate meets them."""

    same_order: tuple[float, ...]
    other_order: tuple[float, ...]
    each_fed: tuple[float, ...]


def main() -> Shares:
    """Two form rollers on a drum, both ways round, and four that are each fed alike."""
    return Shares(
        same_order=_shares(on_a_drum((1, 2))),
        other_order=_shares(on_a_drum((2, 1))),
        each_fed=_shares(each_fed(4)),
    )


def _shares(network: Network) -> tuple[float, ...]:
    train = cut(network, round_mm=1.0)
    answers = settled(train, demand_on(train, 1.0)).answers
    assert answers is not None
    return tuple(answers.form_shares[form] or 0.0 for form in sorted(answers.form_shares))


def visualize(result: Shares) -> str:
    """Shares against the place of the form roller on the plate."""
    lines = (
        ("one drum, meets the plate's first roller first", result.same_order),
        ("one drum, meets the plate's second roller first", result.other_order),
        ("four, each fed by a film of its own", result.each_fed),
    )
    return picture(
        "The order of feeding decides which form roller gives the ink",
        [(name, [(n + 1.0, 100 * share) for n, share in enumerate(shares)]) for name, shares in lines],
        says="a solid, every nip splitting evenly",
        x=exact_axis("form roller, in the order the plate meets them", 1.0, 4.0, most=4),
        y=linear_axis("part of the ink given to the plate, %", 0.0, 80.0),
    )


if __name__ == "__main__":
    found = main()
    for what, given in (("Fed in the plate's order", found.same_order), ("the other way", found.other_order)):
        print(f"{what}: {', '.join(f'{share:.1%}' for share in given)}")
    print("Each fed alike:", ", ".join(f"{share:.1%}" for share in found.each_fed))
