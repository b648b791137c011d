"""Turns without sheets: what was fed meanwhile comes out on the next sheets, all of it.

The paper stops and the press runs on with the ink on. Nothing is lost and nothing is printed, so the rollers fill.
When sheets come again the first are too dark, and the excess of all of them together is exactly what was fed: ten
turns without paper are ten sheets' worth of ink too much.

Closed form, a feed that gives a fixed film: the sum over all sheets of (film / settled film - 1) is the number of
turns without sheets. Source: conservation of ink.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from gallery import picture
from small_trains import chain, cut, demand_on, settled

from filmsplit.figures.axes import linear_axis
from filmsplit.simulation.demand import NO_SHEET
from filmsplit.simulation.march import march

TURNS, COVER = 10, 0.2
FOLLOWED = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Flushed:
    """Print over the settled print on each sheet after the turns without, and the excess of all sheets together."""

    course: tuple[float, ...]
    excess_sheets: float


def main() -> Flushed:
    """Three rollers, a fixed film fed, a light form."""
    train = cut(chain(3, flux=True), round_mm=2.0)
    printing = demand_on(train, COVER, film_um=COVER)
    before = settled(train, printing)
    assert before.state is not None
    assert before.answers is not None
    idle = march(train, replace(printing, running=NO_SHEET), state=before.state, revolutions=TURNS)
    after = march(train, printing, state=idle.state, revolutions=FOLLOWED).sheet_means_um / before.answers.sheet_mean_um
    return Flushed(course=tuple(map(float, after)), excess_sheets=float((after - 1).sum()))


def visualize(result: Flushed) -> str:
    """The sheets that follow."""
    shown = result.course[:80]
    return picture(
        f"{TURNS} turns without sheets: too much ink, for many sheets",
        [("", [(n, 100 * part) for n, part in enumerate(shown, start=1)])],
        says=f"coverage {COVER:.0%}, the ink on all the time",
        x=linear_axis("sheet after the paper came again", 0.0, float(len(shown))),
        y=linear_axis("film on the sheet, % of the settled film (not from zero)", 100.0, 100 * max(shown)),
    )


if __name__ == "__main__":
    found = main()
    print(f"The darkest sheet carries {max(found.course):.0%}; all together {found.excess_sheets:.3f} sheets too much.")
