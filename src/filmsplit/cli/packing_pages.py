"""What `packing` prints."""

from __future__ import annotations

from collections.abc import Iterable

from rich.table import Table

from filmsplit.actions.packing import PackingTold
from filmsplit.cli.problems import echo_problems
from filmsplit.cli.show import console, print_bullet, table
from filmsplit.contact.packing import FormAfter, PackingAnswer
from filmsplit.messages import label


def print_packing(told: PackingTold) -> None:
    """Heights and squeeze before and after, the print length, each form roller, and whether it may be done so."""
    out, answer = console(), told.answer
    invented = f"  {label('figure.invented')}" if told.subject.invented else ""
    out.print(f"[bold]{label('packing_change.title', name=told.subject.name)}[/]{invented}")
    out.print(_cylinders(answer))
    for sentence in _sentences(answer):
        print_bullet(sentence, out=out)
    if answer.forms:
        out.print(_forms(answer.forms))
        out.print(label("packing_change.back"))
    echo_problems((*answer.refusals, *answer.left_out, *answer.notes))
    out.print(f"[bold]{label('packing_change.within' if answer.allowed else 'packing_change.beyond')}[/]")
    out.print(label("stripe.gate"))


def _cylinders(answer: PackingAnswer) -> Table:
    made = table(
        (label("packing_change.what"), "left"),
        (label("packing_change.before"), "right"),
        (label("packing_change.after"), "right"),
    )
    before, after = answer.before, answer.after
    rows = {
        "packing_change.plate_diameter_mm": (before.plate_diameter_mm, after.plate_diameter_mm),
        "packing_change.blanket_diameter_mm": (before.blanket_diameter_mm, after.blanket_diameter_mm),
        "packing_change.plate_height_mm": (before.plate_height_mm, after.plate_height_mm),
        "packing_change.blanket_height_mm": (before.blanket_height_mm, after.blanket_height_mm),
        "packing_change.squeeze_mm": (before.squeeze_mm, after.squeeze_mm),
    }
    for key, (was, becomes) in rows.items():
        made.add_row(label(key), _mm(was), _mm(becomes))
    return made


def _sentences(answer: PackingAnswer) -> Iterable[str]:
    yield label("packing_change.squeeze-change", mm=f"{answer.squeeze_gain_mm:+.3f}")
    yield label("packing_change.impression-change", mm=f"{answer.blanket_gain_mm:+.3f}")
    longer = answer.print_longer
    yield label(
        "packing_change.print-length",
        percent=f"{100 * longer:+.3f}",
        mm=f"{longer * answer.sheet_length_mm:+.2f}",
        sheet=f"{answer.sheet_length_mm:g}",
    )


def _forms(forms: Iterable[FormAfter]) -> Table:
    made = table(
        (label("packing_change.contact"), "left"),
        (label("packing_change.target"), "right"),
        (label("packing_change.stripe_before"), "right"),
        (label("packing_change.stripe_after"), "right"),
        (label("packing_change.load_ratio"), "right"),
        (label("packing_change.verdict"), "left"),
    )
    for form in forms:
        after = form.after
        made.add_row(
            form.contact,
            f"{form.target_mm:.1f}",
            f"{form.before.stripe_mm:.2f} {label('packing_change.read' if form.read else 'packing_change.as-target')}",
            label("packing_change.parted") if after is None else f"{after.stripe_mm:.2f}",
            "–" if after is None else f"{after.load_n_per_mm / form.before.load_n_per_mm:.2f}",
            label("packing_change.in-band" if form.within else "packing_change.out-of-band"),
        )
    return made


def _mm(value: float | None) -> str:
    return label("packing_change.not-known") if value is None else f"{value:.3f}"
