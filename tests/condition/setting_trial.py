"""Set simulated presses by advice alone, and count the passes. Judged by the true stripes, never by what was read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from condition.simulated_press import Habit, SimulatedPress
from filmsplit.condition.setting_advice import SettingAdvice, advise
from filmsplit.condition.setting_belief import PassDone
from filmsplit.condition.setting_group import SetGroup, set_group
from filmsplit.condition.stripe_shape import StripeRead
from filmsplit.formats.press_file import load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.press.survey import survey

MOST_PASSES = 3
MOST_READ_AGAIN = 2
"""How often a stripe is read again whose shape withholds the turns, before that is believed."""
TARGET_BAND_MM = 0.5
"""To either side of the target and from end to end (common practice)."""


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One setting: passes that turned something, how far the worst true stripe was off in the end, and who said so."""

    passes: int
    read_again: int
    off_mm: float
    said_right: bool
    withheld: bool

    @property
    def set_right(self) -> bool:
        return self.off_mm <= TARGET_BAND_MM


@cache
def groups() -> tuple[SetGroup, ...]:
    """Every group of contacts of the library's presses whose covers and adjusters are all known."""
    return tuple(_groups())


def _groups() -> Iterator[SetGroup]:
    for name in demo_presses():
        press = survey(load(demo_path(name)).press).press
        for unit in press.units:
            done: set[str] = set()
            for contact in unit.contacts:
                if contact.id not in done and contact.adjusters.operator is not None:
                    group = set_group(press, unit, contact)
                    done |= {each.id for each in group.contacts}
                    if all(each.pair is not None and each.handles is not None for each in group.contacts):
                        yield group


def try_setting(group: SetGroup, habit: Habit, *, seed: int) -> Trial:
    """Read cold, turn what is advised, run warm and read again, and so on; at most three passes that turn."""
    press = SimulatedPress(group, habit, seed=seed)
    passes: list[PassDone] = []
    turned = again = 0
    while True:
        stripes = {each.id: _read(press, each.id, warm=turned > 0) for each in group.contacts}
        advice = advise(group, stripes, passes=passes)
        if advice.withheld and again < MOST_READ_AGAIN:
            again += 1
        elif advice.withheld or not any(advice.turns.values()) or turned == MOST_PASSES:
            break
        else:
            _turn(press, advice)
            turned += 1
        passes.append(PassDone(stripes=stripes, turns=advice.turns))
    return Trial(
        passes=turned,
        read_again=again,
        off_mm=press.worst_off_mm(),
        said_right=not any(advice.turns.values()),
        withheld=bool(advice.withheld),
    )


def _read(press: SimulatedPress, contact: str, *, warm: bool) -> StripeRead:
    widths, places, temperature = press.read(contact, warm=warm)
    return StripeRead(widths_mm=widths, temperature_c=temperature, places=places)


def _turn(press: SimulatedPress, advice: SettingAdvice) -> None:
    for each in advice.contacts:
        for turn in each.turns or ():
            press.turn(each.contact, turn.side, ease_deg=turn.ease_deg, tighten_deg=turn.tighten_deg)
