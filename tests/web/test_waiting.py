"""Pages that take longer than a moment: what is done is said, it can be called off, and what is there comes at once."""

from __future__ import annotations

import re
import time
from html import unescape

import pytest

from filmsplit.actions import desk
from filmsplit.messages import label
from filmsplit.web import desks
from web.served import Visit, waits
from web.test_job_files import called_off

TYPED = "where=heron/A&coverage=10x20&title=Poster&run=4321"
SLOW = {
    "set": (f"/jobs/set?{TYPED}", "/jobs?"),
    "paper": (f"/jobs/set/sheet.pdf?{TYPED}", "/jobs?"),
    "foreseen": (f"/jobs/foreseen?{TYPED}", "/jobs?"),
    "try": (f"/jobs/try?{TYPED}", "/jobs?"),
    "found": ("/presses/heron/A/as-found?of=F1", "/presses/heron/A/roller/F1"),
    "compare": ("/presses/compare?with=heron&with=wagtail&ink=yes", "/presses/compare?with=heron"),
}
"""Each page that takes longer than a moment, and how the address begins to which somebody goes who calls it off."""


@pytest.fixture
def shop(visit: Visit, monkeypatch: pytest.MonkeyPatch) -> Visit:
    """Two presses, and a workbench that holds nobody: whatever has to be computed is waited for on a page."""
    monkeypatch.setattr(desks, "ANSWERED_S", 0.0)
    visit.send("/presses/bring", press="heron")
    visit.send("/presses/heron/register")
    visit.send("/presses/bring", press="wagtail")
    return visit


def told_of(visit: Visit, page: str, *, least: int) -> set[str]:
    """What the page says while it waits, until it has said so many things or is over."""
    stage, said, until = re.search(r'data-stage="([^"]+)"', page), set(), time.monotonic() + 60
    assert stage is not None
    while len(said) < least and not (told := visit.client.get(stage[1]).json())["over"]:
        said.add(told["words"])
        assert time.monotonic() < until
        time.sleep(0.01)
    return said


@pytest.mark.parametrize("what", SLOW)
def test_what_is_done_is_said_and_the_page_then_comes_at_once(shop: Visit, what: str) -> None:
    address, _ = SLOW[what]
    first = shop.client.get(address)
    assert waits(first)
    assert "http-equiv" in first.text, "without a script it looks again too"
    assert len(told_of(shop, first.text, least=3)) == 3
    there = shop.awaited(address)
    assert there.status_code == 200
    assert not waits(shop.client.get(address)), "kept: nobody waits twice"


@pytest.mark.parametrize("what", SLOW)
def test_it_is_called_off_and_leads_back(shop: Visit, what: str) -> None:
    address, back = SLOW[what]
    page = shop.client.get(address).text
    ticket = re.search(r'name="ticket" value="(\w+)"', page)
    to = re.search(r'name="back" value="([^"]+)"', page)
    assert ticket is not None
    assert to is not None
    assert unescape(to[1]).startswith(back)
    doing = desks.doing_of(ticket[1])
    assert doing is not None
    text = called_off(shop, page)
    assert "data-stage" not in text, "what was called off is not begun again"
    if back == "/jobs?":
        assert 'value="Poster"' in text
        assert 'value="4321"' in text
    assert doing.over.wait(30)
    assert doing.thing is None
    assert shop.client.get(f"/waiting/{ticket[1]}").json()["over"]


def test_cures_are_told_one_by_one_and_lead_back_to_the_sheet(shop: Visit) -> None:
    shop.page(f"/jobs/foreseen?{TYPED}")
    page = shop.client.get(f"/jobs/foreseen?{TYPED}&cures=yes").text
    said = told_of(shop, page, least=2)
    pattern = re.escape(label("foresee_stage.cures", done=0, all=0)).replace("0", r"\d+")
    assert any(re.fullmatch(pattern, each) for each in said)
    assert label("web_foreseen.ask_cures") in called_off(shop, page)


def test_the_sheet_is_foreseen_from_the_job_that_was_set(shop: Visit, monkeypatch: pytest.MonkeyPatch) -> None:
    shop.page(f"/jobs/set?{TYPED}")
    monkeypatch.setattr("filmsplit.actions.setting_apart.set_job", None)
    assert label("web_foreseen.ghosts") in shop.page(f"/jobs/foreseen?{TYPED}")
    assert 'id="try"' in shop.page(f"/jobs/try?{TYPED}")


def test_a_quick_answer_needs_no_page_to_wait_on(shop: Visit, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desks, "ANSWERED_S", 60.0)
    assert not waits(shop.client.get(f"/jobs/set?{TYPED}"))


def test_one_too_many_is_told_to_come_again_and_keeps_what_was_filled_in(
    shop: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk, "MOST_UNDER_WAY", 0)
    text = shop.page(f"/jobs/set?{TYPED}", status=422)
    assert label("severity.refused") in text
    assert unescape(text).count("Nothing that was filled in is lost") == 1
    assert 'value="4321"' in text
    monkeypatch.setattr(desk, "MOST_UNDER_WAY", 20)
    shop.page(f"/jobs/set?{TYPED}")


def test_a_press_that_was_read_anew_is_found_anew(shop: Visit) -> None:
    address = "/presses/heron/A/as-found"
    shop.page(address)
    assert not waits(shop.client.get(address))
    (shop.folder / "presses" / "heron.yaml").touch()
    assert waits(shop.client.get(address))


@pytest.mark.parametrize(
    "back", ["https://elsewhere.example/jobs", "//elsewhere.example", "/jobs\\..\\x", "/look", "", "/jobs\r\nx: y"]
)
def test_calling_off_leads_nowhere_else(shop: Visit, back: str) -> None:
    answer = shop.client.post(
        "/waiting/cancel", data={"token": shop.token(), "ticket": "00", "back": back}, follow_redirects=False
    )
    assert (answer.status_code, answer.headers["location"]) == (303, "/")


def test_without_a_token_nothing_is_called_off(shop: Visit) -> None:
    page = shop.client.get(f"/jobs/set?{TYPED}").text
    ticket = re.search(r'name="ticket" value="(\w+)"', page)
    assert ticket is not None
    assert shop.client.post("/waiting/cancel", data={"ticket": ticket[1], "back": "/jobs"}).status_code == 403
    doing = desks.doing_of(ticket[1])
    assert doing is not None
    assert not doing.off.is_set()


@pytest.mark.parametrize("ask", [f"/jobs/set?{TYPED}", f"/jobs/foreseen?{TYPED}", f"/jobs/try?{TYPED}"])
def test_no_other_site_begins_anything(shop: Visit, ask: str) -> None:
    assert shop.client.get(ask, headers={"sec-fetch-site": "cross-site"}).status_code == 403
