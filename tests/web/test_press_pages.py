"""Presses compared, marks matched, and what a condition does to the sheet, as a person asks for them.

Sources: the ratio of a circle for repeats (a form roller of 54 mm comes again every pi x 54 mm); the answers themselves
are those of the command line, since both ask the same actions.
"""

from __future__ import annotations

import math
import re

import pytest

from filmsplit.actions.as_found import FoundAsked, as_found
from filmsplit.actions.compare import compare_presses
from filmsplit.actions.compare_words import cell_said, interchange_lines
from filmsplit.actions.find import find_press
from filmsplit.actions.jobs import today
from filmsplit.actions.readings import Told, record
from filmsplit.actions.register import Daybook
from filmsplit.actions.setting import SettingAsked, plan_setting
from filmsplit.actions.shop import Shop
from filmsplit.figures.marks_sheet import HEIGHT, rule_of
from filmsplit.messages import label
from web.served import Visit
from web.test_care import aged, words

TURN_MM = math.pi * 54.0
"""One turn of the Heron's first form roller."""


@pytest.fixture
def both(at_heron: Visit) -> Visit:
    at_heron.send("/presses/bring", press="bittern")
    return at_heron


def test_two_presses_stand_side_by_side(both: Visit) -> None:
    text = words(both.page("/presses/compare?with=heron&with=bittern"))
    compared = compare_presses(["heron", "bittern"], ink=False)
    for row in compared.comparison.rows:
        assert " ".join(map(cell_said, row.cells)) in text, row.label_key
    for line in interchange_lines(compared.interchange):
        assert line in text
    assert label("web_compare.ask") in text


def test_what_the_counts_stand_for_comes_only_on_asking(both: Visit) -> None:
    short = both.page("/presses/compare?with=heron&with=bittern")
    assert label("character.respond_light_95") not in short
    address = re.search(r'class="main button" href="([^"#]+)', short)
    assert address is not None
    long = both.page(address[1].replace("&amp;", "&"))
    assert label("character.respond_light_95") in long


def test_one_press_alone_is_not_compared(at_heron: Visit) -> None:
    assert label("web_compare.title") not in at_heron.page("/presses")
    at_heron.page("/presses/compare?with=heron", status=422)
    at_heron.page("/presses/compare?with=heron&with=nobody", status=404)


def test_the_list_of_presses_leads_to_the_comparison(both: Visit) -> None:
    text = both.page("/presses")
    assert re.findall(r'type="checkbox" name="with" value="(\w+)"', text) == ["bittern", "heron"]


def test_marks_a_turn_apart_name_the_roller(at_heron: Visit) -> None:
    at = "+".join(f"{20 + TURN_MM * turn:.1f}" for turn in range(3))
    text = at_heron.page(f"/presses/heron/A/marks?at={at}")
    first = re.search(r'<tr><td class="number">([^<]+)</td><th scope="row"><a class="in-line" href="([^"]+)"', text)
    assert first is not None
    assert first[2] == "/presses/heron/A/roller/F1"
    assert label("marks.next") in text
    assert "[press isolated and locked]" in text
    assert "<svg" in at_heron.page(f"/presses/heron/A/marks/sheet.svg?at={at}")


def test_a_mark_typed_is_added_and_can_be_taken_away(at_heron: Visit) -> None:
    text = at_heron.page("/presses/heron/A/marks?at=20&typed=189,6")
    assert 'name="at" value="20 189.6"' in text
    assert 'href="/presses/heron/A/marks?at=20"' in text
    assert label("web_marks.sure", sd="0.5 mm") in text


def test_inches_are_read_where_a_person_reads_inches(at_heron: Visit) -> None:
    at_heron.send("/look", light="light", size="bench", lengths="in")
    assert 'name="at" value="25.4"' in at_heron.page("/presses/heron/A/marks?typed=1")


def test_a_tap_is_the_place_on_the_rule_and_less_sure(at_heron: Visit) -> None:
    press = find_press("heron").press
    rule = rule_of(press, press.units[0])
    wanted = rule.length_mm / 2
    text = at_heron.page(f"/presses/heron/A/marks?tap.x=100&tap.y={round(rule.y(wanted))}")
    found = re.search(r'name="at" value="([\d.]+)"', text)
    assert found is not None
    assert abs(float(found[1]) - wanted) <= rule.length_mm / HEIGHT
    assert label("web_marks.sure", sd="2.0 mm") in text


@pytest.mark.parametrize("query", ["at=x", "typed=far", "at=99999", "at=20&typed=-3"])
def test_what_no_sheet_can_show_is_refused_in_words(at_heron: Visit, query: str) -> None:
    assert 'class="remedy"' in at_heron.page(f"/presses/heron/A/marks?{query}", status=422)


def test_a_roller_tells_its_readings_its_trend_and_what_it_does(at_heron: Visit) -> None:
    aged(at_heron)
    text = at_heron.page("/presses/heron/A/roller/F1")
    assert label("web_found.trend") in text
    assert label("web_found.last") in text
    assert text.count('<th scope="row">hardness</th>') == 6
    assert 'href="/presses/heron/A/as-found?of=F1"' in text


def test_what_a_hard_roller_does_is_what_the_command_line_tells(at_heron: Visit) -> None:
    aged(at_heron)
    book = Daybook(Shop(at_heron.folder).records, today())
    stripe = Told(where="heron:A.F1/plate", kind="stripe", values=(2.0, 2.0, 2.0), temperature_c=23.0)
    record([stripe], book=book)
    text = words(at_heron.page("/presses/heron/A/as-found?of=F1"))
    assert "F1 was read at" in text
    assert "It is harder" in text
    path = str(at_heron.folder / "presses" / "heron.yaml")
    cases = as_found(path, FoundAsked(unit="A"), book=book).units[0].cases
    for case in cases:
        assert case.sheet_um is not None
        assert f"{case.sheet_um:.3f}" in text
    assert cases[0].sheet_um != cases[-1].sheet_um, "a stripe that is too narrow changes the sheet"


def test_a_contact_tells_what_to_turn_as_the_setting_does(at_heron: Visit) -> None:
    address = "/presses/heron/A/contact/F1/plate"
    assert label("web_found.no_stripe") in at_heron.page(address)
    book = Daybook(Shop(at_heron.folder).records, today())
    record([Told(where="heron:A.F1/plate", kind="stripe", values=(2.0, 2.0, 2.0), temperature_c=23.0)], book=book)
    text = words(at_heron.page(address))
    assert label("web_found.no_stripe") not in text
    planned = plan_setting(str(at_heron.folder / "presses" / "heron.yaml"), SettingAsked(unit="A"), book=book)
    advice = next(group.advice for group in planned.units[0].groups if group.advice is not None)
    assert advice.withheld, "hardness and diameters were never read"
    assert label("web_found.withheld") in text
    assert label("web_result.nothing") not in text
    assert all(" ".join(each.what.split()) in text for each in advice.withheld)


def test_a_roller_nobody_has_is_not_there(at_heron: Visit) -> None:
    at_heron.page("/presses/heron/A/as-found?of=X9", status=404)
    at_heron.page("/presses/heron/Z/marks", status=404)
