"""The pages from an empty shop on, as a person goes through them."""

from __future__ import annotations

import re

import pytest

from filmsplit.messages import label
from web.served import Visit


def test_an_empty_shop_says_what_to_do(visit: Visit) -> None:
    text = visit.page("/")
    assert label("web.no_press") in text
    assert 'href="/presses"' in text


def test_a_demo_press_is_brought_in_once(visit: Visit) -> None:
    assert "Heron" in visit.send("/presses/bring", press="heron")
    assert (visit.folder / "presses" / "heron.yaml").exists()
    visit.send("/presses/bring", press="heron", status=422)


def test_a_press_nobody_knows_is_not_brought_in(visit: Visit) -> None:
    text = visit.send("/presses/bring", press="../heron", status=422)
    assert "../heron" in text
    assert not (visit.folder / "presses").exists()


def test_the_map_leads_to_every_roller_and_every_contact(at_heron: Visit) -> None:
    text = at_heron.page("/presses/heron/A")
    addresses = set(re.findall(r'href="(/presses/heron/A/(?:roller|contact)/[^"]+)"', text))
    assert len(addresses) == 13 + 14  # rollers and nips of the Heron, counted on its drawing
    for address in addresses:
        at_heron.page(address)


def test_a_registered_press_tells_who_was_never_read(at_heron: Visit) -> None:
    assert label("web_to_do.unread", press="heron", count=13) in at_heron.page("/")


def test_a_press_file_that_cannot_be_used_is_named_with_its_faults(at_heron: Visit) -> None:
    (at_heron.folder / "presses" / "broken.yaml").write_text("press: [", encoding="utf-8")
    assert label("web_to_do.mend-file", press="broken") in at_heron.page("/")
    assert "broken.yaml" in at_heron.page("/presses/broken")
    assert "Heron" in at_heron.page("/presses")


def test_lengths_follow_the_display_that_was_chosen(at_heron: Visit) -> None:
    assert "54.0 mm" in at_heron.page("/presses/heron/A/roller/F1")
    at_heron.send("/look", light="dark", size="projector", lengths="in")
    text = at_heron.page("/presses/heron/A/roller/F1")
    assert "2.126 in" in text  # 54 / 25.4
    assert 'data-light="dark" data-size="projector"' in text


@pytest.mark.parametrize(
    "address",
    ["/nowhere", "/presses/none", "/presses/heron/Z", "/presses/heron/A/roller/X", "/presses/heron/A/contact/F1/F2"],
)
def test_what_is_not_there_says_so_and_leads_back(at_heron: Visit, address: str) -> None:
    text = at_heron.page(address, status=404)
    assert label("web.to_start") in text


def test_a_synonym_finds_the_word(visit: Visit) -> None:
    assert "oscillat" in visit.page("/words?asked=vibrator")


def test_every_link_of_every_page_leads_somewhere(at_heron: Visit) -> None:
    seen, ahead = set(), ["/"]
    while ahead:
        address = ahead.pop()
        if address in seen:
            continue
        seen.add(address)
        answer = at_heron.client.get(address)
        assert answer.status_code == 200, address
        if "html" in answer.headers["content-type"]:
            links = re.findall(r'href="([^"#]+)', answer.text)
            assert all(link.startswith("/") for link in links), "nothing leads to another host"
            ahead += [link.replace("&amp;", "&") for link in links]
    assert len(seen) > 40
