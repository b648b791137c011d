"""A round at a press in the pages: behind its gate, in few touches, once, and gone on with after anything.

The gate's boxes are those of the checklist on paper (common practice: isolate, lock, try the start).
Widths are invented.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import pytest

from filmsplit.actions.readings import listed
from filmsplit.actions.register import Daybook
from filmsplit.messages import label
from filmsplit.web import clock
from filmsplit.web.pages.round_gate import BOXES
from web.served import Visit

ACROSS = ("operator", "middle", "gear")
CONTACTS = 10
"""Contacts of the Heron with a soft member, counted on its drawing."""


def key_in(text: str) -> str:
    """The key of the form on a page that puts something on record."""
    found = re.search(r'name="key" value="(\w+)"', text)
    assert found is not None
    return found[1]


def begun(visit: Visit) -> str:
    """A round begun; the address of its gate."""
    visit.send("/rounds", press="heron", unit="A", key=key_in(visit.page("/rounds")))
    return "/rounds/1/gate"


def through(visit: Visit, *, leave_unticked: str = "", status: int = 200, **fields: str) -> str:
    """The gate of the round with every box ticked but one."""
    boxes = {each: "yes" for each in BOXES if each != leave_unticked}
    sent = {"name": "Invented Person", "key": key_in(visit.page("/rounds/1/gate")), **boxes, **fields}
    return visit.send("/rounds/1/gate", status=status, **sent)


def read(visit: Visit, contact: str, *, widths: tuple[str, str, str], status: int = 200, **fields: str) -> str:
    """Read a contact, as the form on its page sends it."""
    address = f"/rounds/1/contact/{contact}"
    given = {f"width_{place}": width for place, width in zip(ACROSS, widths, strict=True)}
    key = fields.pop("key", "") or key_in(visit.page(address))
    return visit.send(address, status=status, **(given | {"then": "on", "key": key} | fields))


def stripes(visit: Visit, where: str = "") -> list[tuple[float, ...]]:
    """The stripes on record that count."""
    book = Daybook(visit.folder / "filmsplit.records", date.today())
    place = f"{visit.folder}/presses/heron.yaml:{where}" if where else ""
    return [each.values for each in listed(place, book=book, kinds=("stripe",)).entries]


@pytest.fixture
def in_round(at_heron: Visit) -> Visit:
    """A browser in a round whose gate is open."""
    begun(at_heron)
    through(at_heron)
    return at_heron


def test_an_empty_shop_says_what_a_round_needs(visit: Visit) -> None:
    assert label("web_round.no_press") in visit.page("/rounds")
    visit.send("/presses/bring", press="heron")
    assert label("web_round.unregistered", press="Heron") in visit.page("/rounds")
    visit.send("/rounds", press="heron", unit="A", key="a", status=422)


def test_no_box_of_the_gate_is_ticked(at_heron: Visit) -> None:
    text = at_heron.page(begun(at_heron))
    assert text.count('type="checkbox"') == len(BOXES) == 6
    assert not re.search(r"<input[^>]*\schecked", text)


@pytest.mark.parametrize("box", BOXES)
def test_one_box_left_empty_keeps_the_gate_shut(at_heron: Visit, box: str) -> None:
    begun(at_heron)
    text = through(at_heron, leave_unticked=box, status=422)
    assert "Invented Person" in text, "what was filled in stays"
    assert not re.search(r'type="checkbox"[^>]*checked', text), "and no box is ticked again by itself"
    at = at_heron.client.get("/rounds/1/contact/F1/plate")
    assert at.url.path == "/rounds/1/gate"


def test_a_gate_without_a_name_stays_shut(at_heron: Visit) -> None:
    begun(at_heron)
    through(at_heron, name=" ", status=422)


def test_nothing_is_recorded_before_the_gate(at_heron: Visit) -> None:
    begun(at_heron)
    read(at_heron, "F1/plate", widths=("3.5", "3.5", "3.5"), status=422, key="sent-by-hand", sure="yes")
    assert stripes(at_heron) == []


def test_what_was_stated_counts_until_rollers_move(in_round: Visit) -> None:
    text = in_round.send("/rounds/1/moved", key="a1")
    assert label("web_gate.title") in text
    read(in_round, "F1/plate", widths=("3.5", "3.5", "3.5"), status=422, key="after-it-moved")
    assert stripes(in_round) == []
    through(in_round)
    read(in_round, "F1/plate", widths=("3.5", "3.5", "3.5"))
    assert stripes(in_round) == [(3.5, 3.5, 3.5)]


def test_what_was_stated_counts_on_its_day_only(in_round: Visit, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "today", lambda: date.today() + timedelta(days=1))
    assert in_round.client.get("/rounds/1/contact/F1/plate").url.path == "/rounds/1/gate"


def test_the_next_contact_comes_by_its_button_only(in_round: Visit) -> None:
    stays = read(in_round, "F1/plate", widths=("3.5", "3.6", "3.4"), then="stay")
    assert label("web_read.title", number=1, all=CONTACTS, contact="F1/plate") in stays
    goes = read(in_round, "F2/plate", widths=("3", "3", "3"))
    assert label("web_read.title", number=3, all=CONTACTS, contact="F1/D1") in goes
    assert "refresh" not in goes
    assert "<script" not in goes


def test_the_same_form_sent_twice_is_recorded_once(in_round: Visit) -> None:
    key = key_in(in_round.page("/rounds/1/contact/F1/plate"))
    first = read(in_round, "F1/plate", widths=("3.5", "3.5", "3.4"), key=key)
    assert read(in_round, "F1/plate", widths=("3.5", "3.5", "3.4"), key=key)[:200] == first[:200]
    assert stripes(in_round) == [(3.5, 3.5, 3.4)]


def test_other_widths_under_a_key_that_was_used_are_not_lost_silently(in_round: Visit) -> None:
    key = key_in(in_round.page("/rounds/1/contact/F1/plate"))
    read(in_round, "F1/plate", widths=("3.5", "3.5", "3.4"), key=key)
    text = read(in_round, "F1/plate", widths=("3.5", "3.5", "3.9"), key=key, status=422)
    assert key_in(text) != key
    read(in_round, "F1/plate", widths=("3.5", "3.5", "3.9"), key=key_in(text))
    assert stripes(in_round) == [(3.5, 3.5, 3.9)], "the later one counts, and both are on record"


def test_a_round_is_begun_once_however_often_it_is_sent(at_heron: Visit) -> None:
    key = key_in(at_heron.page("/rounds"))
    for _ in range(3):
        at_heron.send("/rounds", press="heron", unit="A", key=key)
    assert "/rounds/2" not in at_heron.page("/rounds")


def test_a_slip_of_the_finger_is_asked_about_before_it_is_recorded(in_round: Visit) -> None:
    text = read(in_round, "F1/plate", widths=("3.5", "8.5", "3.5"), status=422)
    assert label("web_read.doubt") in text
    assert 'value="3.5" checked' in text, "what was touched stays"
    assert stripes(in_round) == []
    read(in_round, "F1/plate", widths=("3.5", "8.5", "3.5"), sure="yes")
    assert stripes(in_round) == [(3.5, 8.5, 3.5)]


def test_what_cannot_be_is_refused_whatever_is_said(in_round: Visit) -> None:
    read(in_round, "F1/plate", widths=("other", "3.5", "3.5"), typed_operator="41", sure="yes", status=422)
    assert stripes(in_round) == []


def test_a_place_nobody_touched_is_named(in_round: Visit) -> None:
    text = in_round.send("/rounds/1/contact/F1/plate", status=422, width_operator="3.5", key="a")
    assert text.count(label("web_read_place.middle")) > 1
    assert stripes(in_round) == []


def test_any_width_is_three_touches_away(in_round: Visit) -> None:
    fields = {"whole_operator": "1", "tenth_operator": "9"}
    read(in_round, "F1/plate", widths=("other", "3.5", "3.5"), **fields)
    assert stripes(in_round) == [(1.9, 3.5, 3.5)]


def test_likely_widths_stand_around_what_was_read_there_last(in_round: Visit) -> None:
    read(in_round, "F1/plate", widths=("4.4", "4.4", "4.4"), then="stay")
    offered = re.findall(r'name="width_operator" value="([\d.]+)"', in_round.page("/rounds/1/contact/F1/plate"))
    assert [float(each) for each in offered] == pytest.approx([3.4 + 0.1 * each for each in range(21)])


def test_a_round_goes_on_after_a_restart_on_another_screen(in_round: Visit) -> None:
    read(in_round, "F1/plate", widths=("3.5", "3.5", "3.5"))
    other = Visit(in_round.folder)
    assert "/rounds/1" in other.page("/rounds")
    text = other.page("/rounds/1")
    assert label("web_round.progress", done=1, all=CONTACTS) in text
    read(other, "F2/plate", widths=("3", "3", "3"))
    assert label("web_round.progress", done=2, all=CONTACTS) in in_round.page("/rounds/1")


def test_a_contact_that_cannot_be_read_is_left_out_and_can_be_read_later(in_round: Visit) -> None:
    assert label("web_round.left_out") in in_round.send("/rounds/1/leave-out", key="a", contact="F1/D1")
    read(in_round, "F1/D1", widths=("4", "4", "4"))
    assert stripes(in_round) == [(4, 4, 4)]


def test_a_whole_round_ends_in_map_verdicts_corrections_and_orders(in_round: Visit) -> None:
    contacts = re.findall(r'href="/rounds/1/contact/([^"]+)"', in_round.page("/rounds/1"))
    order = list(dict.fromkeys(contacts))
    assert len(order) == CONTACTS
    for contact in order:
        target = re.search(r"<dd>([\d.]+) mm</dd>", in_round.page(f"/rounds/1/contact/{contact}"))
        assert target is not None
        text = read(in_round, contact, widths=(target[1], target[1], target[1]), warmth="23")
    assert label("web_result.title", number=1) in text
    assert text.count("<svg") >= 1
    assert label("stripe_map_sign.leave") in text
    assert len(stripes(in_round)) == CONTACTS
    in_round.send("/rounds/1/end", key="end")
    read(in_round, "F1/plate", widths=("3.5", "3.5", "3.5"), status=422, key="after-the-end")
    assert len(stripes(in_round)) == CONTACTS


def test_units_of_this_person_are_taken_and_shown(in_round: Visit) -> None:
    in_round.send("/look", light="light", size="bench", lengths="in", temperatures="°F")
    address = "/rounds/1/contact/F1/plate"
    text = in_round.page(address)
    assert "Operator&#39;s side, in" in text
    sent = {f"width_{place}": "other" for place in ACROSS} | {f"typed_{place}": "1/8" for place in ACROSS}
    in_round.send(address, **sent, warmth="86", then="on", key=key_in(text))
    assert stripes(in_round) == [pytest.approx((3.175,) * 3)]  # 25.4 / 8
    assert "86 °F" in in_round.page("/presses/heron/A/contact/F1/plate")


@pytest.mark.parametrize("address", ["/rounds/9", "/rounds/9/gate", "/rounds/9/result", "/rounds/9/contact/F1/plate"])
def test_a_round_nobody_began_is_not_there(at_heron: Visit, address: str) -> None:
    at_heron.page(address, status=404)


@pytest.mark.parametrize("contact", ["F1/F2", "<b>/x", "..%2f../x"])
def test_a_contact_the_round_has_not_is_not_there(in_round: Visit, contact: str) -> None:
    assert "<b>" not in in_round.page(f"/rounds/1/contact/{contact}", status=404)


def test_an_order_sheet_is_a_pdf(at_heron: Visit) -> None:
    answer = at_heron.client.get("/rollers/heron-F1/order.pdf")
    assert answer.status_code == 200
    assert answer.content.startswith(b"%PDF")


def test_a_press_whose_file_was_taken_away_says_so(in_round: Visit) -> None:
    Path(in_round.folder / "presses" / "heron.yaml").unlink()
    assert "heron" in in_round.page("/rounds/1", status=422)


def test_a_result_that_can_tell_no_turns_does_not_say_that_none_are_needed(at_heron: Visit) -> None:
    """No temperature was told, so no group is judged; that is not "nothing is to be turned"."""
    begun(at_heron)
    through(at_heron)
    read(at_heron, "F1/plate", widths=("2.5", "2.5", "2.5"))
    text = at_heron.page("/rounds/1/result")
    assert label("web_result.not_judged") in text
    assert label("web_result.nothing") not in text


def test_a_result_whose_turns_are_withheld_says_so(at_heron: Visit) -> None:
    """Hardness and diameters were never read, so nothing may be turned yet."""
    begun(at_heron)
    through(at_heron)
    read(at_heron, "F1/plate", widths=("2.5", "2.5", "2.5"), warmth="23")
    text = at_heron.page("/rounds/1/result")
    assert label("web_found.withheld") in text
    assert label("web_result.nothing") not in text
