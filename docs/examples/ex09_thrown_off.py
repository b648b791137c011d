"""A form roller thrown off: the one that gives most of the ink is hardly missed, and neither is the other.

Two form rollers on one drum, the first giving three quarters of the ink. Throw it off the plate and the print loses
an eighth, not three quarters: the drum now carries more, and the second gives it. Throw off the second instead, which
gave a quarter, and the loss is the same eighth. What a form roller gives says little about what it is needed for.

Closed form: for a print of q the nip at the feed holds 17/2 q with both and 10 q with one, so with the same keys the
print is 5.25/6 = 7/8 of what it was. Source: algebra of the even split on a solid, film-fed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from gallery import picture
from small_trains import cut, demand_on, on_a_drum, settled

from filmsplit.figures.axes import linear_axis
from filmsplit.simulation.demand import Running
from filmsplit.simulation.march import march

SHEETS, SHOWN = 40, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrownOff:
    """Print over the print with both form rollers: sheet by sheet after one is thrown off, and settled."""

    form: str
    course: tuple[float, ...]
    settled: float


def main() -> tuple[ThrownOff, ...]:
    """Either form roller thrown off a settled print; it stays on the drum."""
    return tuple(_without(form) for form in ("F1", "F2"))


def _without(form: str) -> ThrownOff:
    train = cut(on_a_drum((1, 2)), round_mm=1.0)
    both = demand_on(train, 1.0)
    off = replace(both, running=Running(thrown_off=frozenset({form})))
    before, after = settled(train, both), settled(train, off)
    assert before.state is not None
    assert before.answers is not None
    assert after.answers is not None
    whole = before.answers.sheet_mean_um
    course = march(train, off, state=before.state, revolutions=SHEETS).sheet_means_um / whole
    return ThrownOff(form=form, course=tuple(map(float, course)), settled=after.answers.sheet_mean_um / whole)


def visualize(result: tuple[ThrownOff, ...]) -> str:
    """Both courses over the sheets."""
    words = {"F1": "the first thrown off (gave 75 %)", "F2": "the second thrown off (gave 25 %)"}
    return picture(
        "Throw off either form roller: the print loses an eighth",
        [(words[r.form], [(n, 100 * part) for n, part in enumerate((1.0, *r.course[:SHOWN]))]) for r in result],
        says="two form rollers on one drum, the same keys before and after",
        x=linear_axis("sheet after the roller was thrown off", 0.0, float(SHOWN)),
        y=linear_axis("film on the sheet, % of before (not from zero)", 80.0, 100.0),
    )


if __name__ == "__main__":
    for found in main():
        least = min(found.course)
        print(f"{found.form} thrown off: down to {least:.1%} at worst, settles at {found.settled:.1%}.")
