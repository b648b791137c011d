"""What setting tells, in a person's words: the same on the screen and on paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from filmsplit.actions.setting import ContactPlan, GroupPlan
from filmsplit.condition.setting_advice import ContactAdvice, Turn, Way
from filmsplit.condition.stripe_shape import StripeRead
from filmsplit.messages import Problem, label


def mm(width: float | None) -> str:
    """A width or move to a tenth; a dash where nobody knows it."""
    return label("setting_page.unknown") if width is None else f"{width:.1f}"


def who(plan: ContactPlan) -> str:
    """Which roller is set against which."""
    return label("setting_page.who", moved=plan.planned.moved, reference=plan.planned.reference)


def stripe_words(stripe: StripeRead) -> str:
    """Widths from the operator's side, and the temperature."""
    widths = " / ".join(f"{width:.1f}" for width in stripe.widths_mm)
    return label("setting_page.stripe", widths=widths, warmth=f"{stripe.temperature_c:g}")


def to_do(advice: ContactAdvice) -> tuple[str, str]:
    """What to do at the operator's and at the gear side: turns, else mm, else a direction, else nothing."""
    if advice.ways is None:
        return ("", "")
    if advice.turns is not None:
        operator, gear = advice.turns
        return turn_words(operator), turn_words(gear)
    if advice.ways == (Way.LEAVE, Way.LEAVE):
        return Way.LEAVE.text, Way.LEAVE.text
    ends = advice.closer_mm or (None, None)
    return _way_words(advice.ways[0], ends[0]), _way_words(advice.ways[1], ends[1])


def _way_words(way: Way, closer_mm: float | None) -> str:
    if way is Way.LEAVE or closer_mm is None:
        return way.text
    return label("setting_page.move", way=way.text, mm=f"{abs(closer_mm):.2f}")


def turn_words(turn: Turn) -> str:
    """Ease, then tighten; which way tightens."""
    sense = label("setting_page.sense", sense=turn.tightens.value) if turn.tightens is not None else ""
    ease, tighten = f"{turn.ease_deg:g}", f"{turn.tighten_deg:g}"
    if turn.ease_deg and turn.tighten_deg:
        return label("setting_page.both", ease=ease, tighten=tighten, sense=sense)
    if turn.ease_deg:
        return label("setting_page.ease", ease=ease)
    return label("setting_page.tighten", tighten=tighten, sense=sense) if turn.tighten_deg else Way.LEAVE.text


def learned_words(advice: ContactAdvice) -> Iterator[str]:
    """What was learned of the adjusters of a contact, where it says more than what is written."""
    for turn in advice.turns or ():
        values = {"side": turn.side.text, "percent": round(100 * turn.gain), "sigma": round(100 * turn.gain_sigma)}
        yield label("setting_page.learned", **values)


def problems_of(group: GroupPlan) -> Iterator[Problem]:
    """Everything to know about a group whose stripes were read, or were to be, that is not about one contact."""
    yield from group.notes
    if group.advice is not None:
        yield from group.advice.withheld
        yield from group.advice.notes


def held_words(groups: Iterable[GroupPlan]) -> Iterator[str]:
    """Why groups that were not read could not be set either, each reason once."""
    problems = (problem for group in groups if group.advice is None for problem in group.held)
    yield from dict.fromkeys(problem.what for problem in problems)
