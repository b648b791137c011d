"""The stripe map of a press in words, as a sheet of paper, and as a figure."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from filmsplit.actions.draw import picture_problems, write_picture
from filmsplit.actions.find import find_press
from filmsplit.actions.stripe_map import ContactStripe, StripeMap, UnitStripes, stripe_read
from filmsplit.condition.stripe_shape import Shape
from filmsplit.figures.drawing import Drawing
from filmsplit.figures.stage import unit_name
from filmsplit.figures.stripe_map import Sign, draw_stripe_along, draw_stripe_map
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal, label
from filmsplit.press import Press
from filmsplit.press.asked import units_asked
from filmsplit.reports.stripe_map import MapContact, MapUnit, StripeMapSheet, stripe_map_pdf
from filmsplit.reports.typeset import Paper
from filmsplit.units.writing import (
    LengthSystem,
    TemperatureSystem,
    format_length,
    format_lengths,
    format_temperature,
)

PDF = ".pdf"


def write_stripe_map(
    found: StripeMap, to: Path, *, reference: str, paper: Paper = Paper.A4, over: bool = False
) -> None:
    """Write the map: the sheet where ``to`` ends in .pdf, else the figure of one unit as SVG or PNG."""
    press = find_press(reference).press
    if to.suffix.lower() == PDF:
        write_file(to, stripe_map_pdf(_sheet(press, found), paper=paper), over=over)
        return
    problems = list(picture_problems(to, over=over))
    if len(found.units) > 1:
        problems.append(Problem("stripe-map-one-unit", {"units": ", ".join(each.unit for each in found.units)}))
    if problems:
        raise Refusal(problems)
    write_picture(map_figure(press, found.units[0]), to, over=over)


def read_words(
    each: ContactStripe,
    *,
    lengths: LengthSystem = LengthSystem.METRIC,
    temperatures: TemperatureSystem = TemperatureSystem.CELSIUS,
) -> str:
    """Widths, temperature and day of the last stripe."""
    if each.day is None:
        return label("stripe_map.not-read")
    widths, celsius = format_lengths(each.widths_mm, lengths), each.temperature_c
    warmth = label("stripe_map.no-warmth") if celsius is None else format_temperature(celsius, temperatures)
    return label("stripe_map.read", widths=widths, warmth=warmth, day=each.day.isoformat())


def target_words(each: ContactStripe, *, lengths: LengthSystem = LengthSystem.METRIC) -> str:
    """What it should show, and what that rests on."""
    aim = format_length(each.target_mm, lengths).partition(" ")[0]
    values = {"target": f"{aim} ± {format_lengths([each.tolerance_mm], lengths)}"}
    if each.day is None:
        words = label("stripe_map.target", **values)
    elif each.warmth_used:
        words = label("stripe_map.target-now", **values)
    else:
        words = label("stripe_map.target-as-written", **values)
    return words + (" " + label("stripe_map.assumed") if each.target_assumed else "")


def to_do(each: ContactStripe) -> Iterator[str]:
    """What the shape says and what to do. Why nothing is to be turned stands first, in place of any turning."""
    if each.sign is Sign.HOLD:
        for problem in each.held:
            yield f"{problem.what} {problem.remedy}"
    for found in each.shapes:
        turning = found.shape.is_set and found.shape is not Shape.EVEN
        unsaid = each.sign is Sign.HOLD and turning
        yield found.problem.what if unsaid else f"{found.problem.what} {found.problem.remedy}"


def map_figure(press: Press, unit: UnitStripes) -> Drawing:
    """The train of a unit with a sign at every contact."""
    of = units_asked(press, unit.unit)[0]
    return draw_stripe_map(press, of, signs={each.contact: (each.number, each.sign) for each in unit.contacts})


def _sheet(press: Press, found: StripeMap) -> StripeMapSheet:
    return StripeMapSheet(
        press=press.name or press.id,
        invented=press.invented,
        as_of=label("stripe_map.as-of", day=found.today.isoformat()),
        units=tuple(
            MapUnit(
                name=unit_name(units_asked(press, each.unit)[0]),
                drawing=map_figure(press, each),
                contacts=tuple(map(_row, each.contacts)),
            )
            for each in found.units
        ),
    )


def _row(each: ContactStripe) -> MapContact:
    read = stripe_read(each)
    return MapContact(
        number=each.number,
        name=each.contact,
        sign=label(f"stripe_map_sign.{each.sign.value}"),
        drawing=None if read is None else draw_stripe_along(read, target_mm=each.target_mm, name=each.contact),
        read=read_words(each),
        target=target_words(each),
        found=tuple(to_do(each)),
    )
