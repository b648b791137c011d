"""What `stripe` prints."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.table import Table

from filmsplit.actions.stripe import StripeTold
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.contact.answer import StripeAnswer
from filmsplit.contact.nip import Known
from filmsplit.contact.rollers import Body
from filmsplit.messages import label

_DIGITS = {Known.STRIPE: 2, Known.ENGAGEMENT: 3, Known.LOAD: 3, Known.PEAK: 3}


def print_stripe(told: StripeTold) -> None:
    """The contact, how sure it is, what changes would make of it, what to compare it with."""
    out, answer = console(), told.answer
    question = answer.question
    out.print(f"[bold]{told.subject.name}[/]" + (f"  {label('figure.invented')}" if told.subject.invented else ""))
    pair = question.pair
    out.print(label("stripe.pair", a=_body(pair.a), b=_body(pair.b), radius=f"{pair.relative_radius_mm:.2f}"))
    out.print(_figures(answer))
    out.print(label("stripe.rests-on", correlation=pair.correlation.text))
    _bullets(sentences(answer), out=out)
    if told.notes:
        out.print()
        echo_problems(told.notes)
    out.print(label("stripe.gate"))


def sentences(answer: StripeAnswer) -> Iterable[str]:
    """What changes would make of the contact, and the comparison lines."""
    yield from _hardness_sentences(answer)
    yield from _warm_sentences(answer)
    if answer.round_the_turn is not None:
        low, high = answer.round_the_turn.ends_mm
        run_out = f"{answer.question.run_out_mm:g}"
        yield label("stripe.round-the-turn", run_out=run_out, low=f"{low:.2f}", high=f"{high:.2f}")
    compared, found = answer.compared, answer.found
    yield label("stripe.overlap", overlap=f"{compared.overlap_mm:.3f}", engagement=f"{found.engagement_mm:.3f}")
    yield label("stripe.stretch", percent=", ".join(f"{100 * strain:.2f}" for strain in found.strains))


def _hardness_sentences(answer: StripeAnswer) -> Iterable[str]:
    pair = answer.question.pair
    covers = [body.cover for body in (pair.a, pair.b) if body.cover is not None]
    was = " / ".join(f"{cover.hardness_shore_a:g}" for cover in covers)
    for other in answer.at_hardness:
        yield label(
            "stripe.at-hardness",
            shore_a=f"{other.shore_a:g}",
            was=was,
            ratio=f"{other.load_ratio:.2g}",
            load=f"{other.same_stripe.load_n_per_mm:.3f}",
            stripe=f"{other.stripe_at_same_load_mm:.2f}",
            correlation=pair.correlation.text,
        )


def _warm_sentences(answer: StripeAnswer) -> Iterable[str]:
    warm = answer.warm
    if warm is None:
        return
    kelvin, growth = f"{warm.warming_k:+g}", f"{warm.growth_mm:+.3f}"
    if warm.squeeze is None or warm.loads_n_per_mm is None:
        yield label("stripe.warm-parted", kelvin=kelvin, growth=growth)
        return
    low, high = warm.loads_n_per_mm
    yield label(
        "stripe.warm",
        kelvin=kelvin,
        growth=growth,
        stripe=f"{warm.squeeze.stripe_mm:.2f}",
        low=f"{low:.3f}",
        high=f"{high:.3f}",
    )


def _figures(answer: StripeAnswer) -> Table:
    made = table(
        (label("stripe.quantity"), "left"),
        (label("stripe.value"), "right"),
        (label("stripe.band"), "right"),
    )
    for known in Known:
        value, low, high = (getattr(each, known.value) for each in (answer.found, answer.low, answer.high))
        digits = _DIGITS[known]
        band = label("stripe.given") if known is answer.question.known else f"{low:.{digits}f} – {high:.{digits}f}"
        made.add_row(known.text, f"{value:.{digits}f}", band)
    return made


def _body(body: Body) -> str:
    diameter = f"{body.diameter_mm:g}"
    if body.cover is None:
        return label("stripe.hard-body", diameter=diameter)
    cover = body.cover
    thickness, shore_a = f"{cover.thickness_mm:g}", f"{cover.hardness_shore_a:g}"
    return label("stripe.soft-body", diameter=diameter, thickness=thickness, shore_a=shore_a)


def _bullets(lines: Iterable[str], *, out: Console) -> None:
    for line in lines:
        print_bullet(line, out=out)
