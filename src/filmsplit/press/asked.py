"""The units somebody asks about."""

from __future__ import annotations

from filmsplit.messages import Problem, Refusal
from filmsplit.press.press import Press, Unit


def units_asked(press: Press, unit: str | None) -> tuple[Unit, ...]:
    """The unit called ``unit``, or all of them; refuses a name the press does not have."""
    found = tuple(one for one in press.units if unit in (None, one.id))
    if not found:
        raise Refusal(no_such_unit(unit, press=press.id, known=[one.id for one in press.units]))
    return found


def no_such_unit(unit: str | None, *, press: str, known: list[str]) -> Problem:
    """What is said of a unit that is not there."""
    return Problem("unit-not-found", {"unit": unit, "press": press, "known": ", ".join(known)})
