"""What a comparison of presses says, as text: cells of the table, figures, definitions, rollers that interchange."""

from __future__ import annotations

from collections.abc import Iterator

from filmsplit.actions.compare import Characters, PressCharacter
from filmsplit.messages import label
from filmsplit.press.comparison import Cell, Value
from filmsplit.press.fits import Difference
from filmsplit.press.interchange import Interchange
from filmsplit.studies.standard_job import Figure

EXPLAINED = ("ghost", "mixing", "store", "respond")
"""The kinds of figures, each with its definition at the foot."""


def figure_names(characters: Characters) -> dict[str, str]:
    """Name and unit of every figure, in their order."""
    return {f.name: f.unit for press in characters.presses for unit in press.units for f in unit.figures}


def figures_said(press: PressCharacter, name: str) -> str:
    """One figure of each unit, or a single one where all units show the same."""
    shown = [_shown([f for f in unit.figures if f.name == name]) for unit in press.units]
    return shown[0] if len(set(shown)) == 1 else " / ".join(shown)


def _shown(found: list[Figure]) -> str:
    if not found:
        return "–"
    figure = found[0]
    if figure.value is None:
        return label(figure.missing)
    if isinstance(figure.value, int):
        return str(figure.value)
    return f"{float(f'{figure.value:.2g}'):g}"  # two figures are what the cells are good for, and no powers of ten


def definitions(characters: Characters) -> Iterator[str]:
    """The standard job, and what each kind of figure is."""
    job = characters.job
    values = {
        "tint": f"{100 * job.tint:g}",
        "film": f"{job.film_um:g}",
        "density": f"{job.density_g_per_cm3:g}",
        "light": f"{100 * job.light:g}",
        "heavy": f"{100 * job.heavy:g}",
        "strip": f"{job.strip_mm:g}",
    }
    yield label("character.job", **values)
    for kind in EXPLAINED:
        yield label(f"character.{kind}_is", error=f"{characters.errors[kind]:g}", **values)
    pulled = max((unit.cycles_pulled for press in characters.presses for unit in press.units), default=0.0)
    if pulled > 0:
        yield label("character.pulled", percent=f"{100 * pulled:.0f}")


def cell_said(cell: Cell) -> str:
    """The values of one press, unit by unit."""
    return " / ".join(_value(value) for value in cell)


def _value(value: Value) -> str:
    if value is None:
        return "–"
    if isinstance(value, bool):
        return label("show.yes") if value else label("show.no")
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def interchange_lines(interchange: Interchange) -> Iterator[str]:
    """Which rollers fit where, and which just fail to."""
    if not interchange.groups:
        yield label("compare_page.no_groups")
    for group in interchange.groups:
        members = ", ".join(f"{each.press} {each.unit} {each.roller}" for each in group.members)
        unsure = "" if group.certain else label("compare_page.check", what=", ".join(label(key) for key in group.check))
        yield f"{members}{unsure}"
    for miss in interchange.near_misses:
        a, b = miss.a, miss.b
        yield label(
            "compare_page.near_miss",
            a=f"{a.press} {a.unit} {a.roller}",
            b=f"{b.press} {b.unit} {b.roller}",
            why=_difference(miss.difference),
        )


def _difference(difference: Difference) -> str:
    what = label(difference.label_key)
    if difference.by is None:
        return label("compare_page.differs_in_words", what=what, a=difference.a, b=difference.b)
    return label(
        "compare_page.differs",
        what=what,
        a=f"{difference.a:g}",
        b=f"{difference.b:g}",
        unit=difference.unit,
        allowed=f"{difference.allowed:g}",
    )
