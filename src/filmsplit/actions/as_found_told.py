"""What a press as found does to the sheet, in sentences and in rows of text; of one roller, or of all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from filmsplit.actions.as_found import FoundContact, FoundRoller, FoundUnit
from filmsplit.condition.exchange_share import Strength
from filmsplit.messages import label, numbers_read
from filmsplit.studies.as_found import Case

TableRow = tuple[str, ...]
_SEEN = 0.005
"""A change of film by less than this part is none: two figures are what anybody sees (invented)."""


def sentences(unit: FoundUnit, *, of: str = "") -> Iterator[str]:
    """What was read of the roller, what becomes of the sheet, and who gives the ink then."""
    roller = next((each for each in unit.rollers if each.place == of), None)
    if roller is not None:
        yield from _roller(roller)
    drawn = next((each for each in unit.cases if each.strength is None), None)
    found = [each for each in unit.cases if each.strength is not None]
    if drawn is None or drawn.sheet_um is None or not found or any(each.sheet_um is None for each in found):
        yield label("web_found.not_told")
        return
    yield from _sheet(drawn, found)
    yield from _forms(drawn, found, of=of)
    yield from _response(drawn, found)


def _roller(roller: FoundRoller) -> Iterator[str]:
    before, now = roller.file_hardness_shore_a, roller.hardness_shore_a
    if now is None and roller.diameter_mm is None:
        yield label("web_found.unread", roller=roller.place)
    if before is not None and now is not None:
        word = "harder" if now > before else "softer" if now < before else "as_hard"
        yield label(f"web_found.{word}", roller=roller.place, now=f"{now:g}", before=f"{before:g}")


def _sheet(drawn: Case, found: list[Case]) -> Iterator[str]:
    assert drawn.sheet_um is not None
    parts = [each.sheet_um / drawn.sheet_um - 1 for each in found if each.sheet_um is not None]
    least, most = min(parts), max(parts)
    if max(abs(least), abs(most)) < _SEEN:
        yield label("web_found.same_film")
    else:
        yield label("web_found.film", least=f"{100 * least:+.0f}", most=f"{100 * most:+.0f}")
    spreads = [_spread(each) for each in found]
    yield label("web_found.across", drawn=f"{_spread(drawn):.0f}", found=_between(spreads))


def _between(values: Sequence[float]) -> str:
    """The least and the most, or one figure where they are the same to a whole number."""
    least, most = f"{min(values):.0f}", f"{max(values):.0f}"
    return least if least == most else label("web_found.between", least=least, most=most)


def _spread(case: Case) -> float:
    """Thickest less thinnest place, % of the mean."""
    if not case.sheet_um or case.sheet_most_um is None or case.sheet_least_um is None:
        return 0.0
    return 100 * (case.sheet_most_um - case.sheet_least_um) / case.sheet_um


def _forms(drawn: Case, found: list[Case], *, of: str) -> Iterator[str]:
    for form in drawn.forms:
        shares = [each.share for case in found for each in case.forms if each.id == form.id and each.share is not None]
        if form.share is None or not shares or (of and form.id != of and abs(max(shares) - form.share) < _SEEN):
            continue
        given = _between([100 * each for each in shares])
        yield label("web_found.form", form=form.id, drawn=f"{100 * form.share:.0f}", found=given)


def _response(drawn: Case, found: list[Case]) -> Iterator[str]:
    sheets = [each.sheets_95 for each in found if each.sheets_95 is not None]
    if drawn.sheets_95 is not None and sheets:
        yield label("web_found.respond", drawn=drawn.sheets_95, found=_between(sheets))


def case_heads(unit: FoundUnit) -> Iterator[str]:
    """The columns: as drawn, then as found from no effect to strong."""
    for each in unit.cases:
        yield label("as_found.drawn") if each.strength is None else label(f"as_found_case.{each.strength.value}")


def case_rows(unit: FoundUnit) -> Iterator[TableRow]:
    """What is printed with the same keys, case by case."""
    cases = unit.cases
    yield label("as_found.sheet"), *(_number(each.sheet_um, 3) for each in cases)
    yield label("as_found.spread"), *map(_from_to, cases)
    for form in cases[0].forms:
        yield label("as_found.form", form=form.id), *(_share_of(each, form.id) for each in cases)
    yield label("as_found.stored"), *(_number(each.stored_g, 2) for each in cases)
    yield label("as_found.respond"), *(_number(each.sheets_95, 0) for each in cases)


def _share_of(case: Case, form: str) -> str:
    share = next((each.share for each in case.forms if each.id == form), None)
    return label("as_found.unknown") if share is None else f"{100 * share:.0f} %"


def _number(value: float | None, decimals: int) -> str:
    return label("as_found.unknown") if value is None else f"{value:.{decimals}f}"


def _from_to(case: Case) -> str:
    if case.sheet_least_um is None or case.sheet_most_um is None:
        return label("as_found.unknown")
    return f"{case.sheet_least_um:.2f} … {case.sheet_most_um:.2f}"


def roller_rows(unit: FoundUnit, *, of: str = "") -> Iterator[TableRow]:
    """Place and mark, diameter, one turn, hardness, day: as in the file and as read. Only what was read."""
    for each in unit.rollers:
        if each.read_on is not None and of in ("", each.place):
            yield (
                f"{each.place} ({each.mark})",
                numbers_read(beside(each.file_diameter_mm, each.diameter_mm, decimals=2)),
                numbers_read(beside(each.file_repeat_mm, each.repeat_mm, decimals=1)),
                beside(each.file_hardness_shore_a, each.hardness_shore_a, decimals=0),
                each.read_on.isoformat(),
            )


def beside(before: float | None, after: float | None, *, decimals: int) -> str:
    """As in the file, and as found where it was read."""
    if before is None:
        return ""
    if after is None or round(before, decimals) == round(after, decimals):
        return f"{before:.{decimals}f}"
    return f"{before:.{decimals}f} → {after:.{decimals}f}"


def contact_rows(unit: FoundUnit, *, of: str = "") -> Iterator[TableRow]:
    """Contact, stripe as read, target there, what it exchanges, day."""
    for each in unit.contacts:
        if (each.widths_mm or each.told is not None) and (not of or of in each.contact.split("/")):
            widths = numbers_read(" / ".join(f"{width:.1f}" for width in each.widths_mm))
            day = "" if each.read_on is None else each.read_on.isoformat()
            yield each.contact, widths, numbers_read(f"{each.target_mm:.1f}"), _share(each), day


def _share(each: FoundContact) -> str:
    if each.told is not None:
        return label("as_found.told", share=f"{each.told:.2f}")
    strong, none = each.shares[Strength.STRONG.value], each.shares[Strength.NONE.value]
    return f"{none:.2f}" if strong == none else f"{strong:.2f} … {none:.2f}"
