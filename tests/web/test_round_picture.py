"""A stripe read from pictures in a round: shown, asked, and on record only after a yes; the pictures are not kept.

Pictures are drawn apart from what reads them (tests/stripe_picture), so the true width is known. Targets at a
temperature: the same action that judges the stripe in the result.
"""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from filmsplit.actions.instruments import listed as gauges
from filmsplit.actions.readings import listed
from filmsplit.actions.register import Daybook
from filmsplit.messages import label
from stripe_picture.drawn_pictures import Scene, Shot, draw
from web.served import Visit
from web.test_history import lines as history_lines
from web.test_rounds import begun, key_in, read, stripes, through
from web.test_shop_mode import access, at, clock, owner, send

WIDTH_MM = 4.0
AT = "/rounds/1/contact/F1/D1"


@pytest.fixture(scope="module")
def pictures() -> tuple[bytes, ...]:
    """One drawn picture for each place, the stripe everywhere of one width."""
    return tuple(draw(Scene(20 + card, card=card, width=WIDTH_MM), Shot(px_per_mm=8.0)).jpeg for card in range(3))


@pytest.fixture
def in_round(at_heron: Visit) -> Visit:
    begun(at_heron)
    through(at_heron, warmth="30")
    return at_heron


def send_pictures(visit: Visit, pictures: tuple[bytes, ...], *, status: int = 200) -> str:
    files = {f"picture_{n}": (f"../../{n}.jpg", each, "image/jpeg") for n, each in enumerate(pictures, 1)}
    answer = visit.client.post(f"{AT}/picture", data={"token": visit.token()}, files=files)
    assert answer.status_code == status, answer.text
    return answer.text


def files_in(folder: Path) -> set[str]:
    return {path.name for path in folder.rglob("*")}


def test_nothing_is_recorded_before_a_yes_and_nothing_kept(in_round: Visit, pictures: tuple[bytes, ...]) -> None:
    before = files_in(in_round.folder)
    shown = send_pictures(in_round, pictures)
    assert "<svg" in shown
    assert label("web_picture.yes") in shown
    assert stripes(in_round) == []
    assert gauges(book=Daybook(in_round.folder / "filmsplit.records", date.today())) == ()
    fields = dict(re.findall(r'<input type="hidden" name="(?!token)(\w+)" value="([^"]*)"', shown))
    in_round.send(AT, then="on", warmth="30", **fields)
    (widths,) = stripes(in_round)
    assert widths == pytest.approx([WIDTH_MM] * 3, abs=0.15)
    (entry,) = listed("", book=Daybook(in_round.folder / "filmsplit.records", date.today()), kinds=("stripe",)).entries
    assert entry.remarks.count("±") == 3
    assert entry.temperature_c == 30
    assert files_in(in_round.folder) == before
    taken = in_round.client.get("/history/records.json").content
    assert b"base64" not in taken
    assert len(taken) < sum(map(len, pictures))


def test_a_width_touched_instead_is_no_longer_one_of_the_pictures(in_round: Visit) -> None:
    read(in_round, "F1/D1", widths=("4", "4", "4"), picture="4.00 ± 0.05")
    (entry,) = listed("", book=Daybook(in_round.folder / "filmsplit.records", date.today()), kinds=("stripe",)).entries
    assert "±" not in entry.remarks


def test_a_place_that_lacks_and_what_is_no_picture_are_said(in_round: Visit, pictures: tuple[bytes, ...]) -> None:
    for sent in (pictures[:1], (b"no picture",), (b"\x89PNG\r\n\x1a\n" + b"\0" * 200,)):
        shown = send_pictures(in_round, sent, status=422)
        assert 'class="problem refused"' in shown
        assert label("web_picture.yes") not in shown
    assert label("web_picture.again") in send_pictures(in_round, (), status=422)


def test_pictures_are_read_behind_the_gate_only(at_heron: Visit, pictures: tuple[bytes, ...]) -> None:
    begun(at_heron)
    files = {"picture_1": ("1.jpg", pictures[0], "image/jpeg")}
    answer = at_heron.client.post(
        f"{AT}/picture", data={"token": at_heron.token()}, files=files, follow_redirects=False
    )
    assert "/gate" in answer.headers["location"]
    bare = at_heron.client.post(f"{AT}/picture", files=files)
    assert bare.status_code == 403


def test_the_contact_shows_the_target_that_the_result_goes_by(in_round: Visit) -> None:
    page = in_round.page(AT)
    told = re.search(r"<dd><strong>([\d.]+) mm</strong>", page)
    assert told is not None
    assert label("web_picture.target_now", warmth="30 °C") in page
    read(in_round, "F1/D1", widths=("4", "4", "4"), warmth="30")
    result = in_round.page("/rounds/1/result")
    assert f"target {told[1]} ± 0.5 mm at that temperature" in result


def test_without_a_temperature_the_contact_says_what_counts(at_heron: Visit) -> None:
    begun(at_heron)
    through(at_heron)
    assert label("web_picture.target_why") in at_heron.page(AT)
    read(at_heron, "F1/D1", widths=("4", "4", "4"))
    assert "as in the press file" in at_heron.page("/rounds/1/result")


def test_result_and_history_are_in_the_units_that_were_chosen(in_round: Visit) -> None:
    """25.4 mm to the inch exactly; 30 °C are 86 °F."""
    read(in_round, "F1/D1", widths=("4", "4", "4"), warmth="30")
    in_round.send("/look", light="browser", size="bench", lengths="in", temperatures="°F")
    for address in ("/rounds/1/result", "/history?kind=stripe"):
        text = in_round.page(address)
        assert "0.157 / 0.157 / 0.157 in" in text, address
        assert "86 °F" in text, address
    assert "4 / 4 / 4 mm" in in_round.client.get("/history.csv?kind=stripe").text, "files stay in mm"


def test_the_key_is_that_of_a_reading(in_round: Visit, pictures: tuple[bytes, ...]) -> None:
    assert key_in(send_pictures(in_round, pictures))


def test_a_reading_carries_the_name_of_whoever_sent_it(owner: Visit) -> None:
    begun(owner)
    through(owner, name="Opened The Gate")
    kim = at(owner, "Kim", pin="4711")
    sent = {f"width_{place}": "4" for place in ("operator", "middle", "gear")}
    assert send(kim, AT, key="kims", then="on", **sent).status_code == 303
    assert send(kim, "/rounds/1/moved", key="kims-m").status_code == 303
    (entry,) = listed("", book=Daybook(owner.folder / "filmsplit.records", date.today()), kinds=("stripe",)).entries
    assert entry.person == "Kim"
    lines = [each["By"] for each in history_lines(owner, "?kind=round")]
    assert lines == ["Kim", "Kim", "Opened The Gate"]


__all__ = ["access", "clock", "owner"]
