"""No dead end: from every page a way home and to the page above it, every link answered, every refusal with a way out.

The pages are found by following links from the first one, in a workshop that is used and in an empty one.
"""

from __future__ import annotations

import re
from collections import Counter
from html import unescape
from pathlib import Path

import pytest
from fastapi.routing import APIRoute

from filmsplit.messages import label
from filmsplit.web.pages.every import ROUTERS
from filmsplit.web.render import ADDRESSES
from web.lived_in import lived_in
from web.served import Visit

MOST_OF_A_KIND = 2
STARTS = ("/", "/find?for=vibrator", "/find?for=xyzzyq", "/messages/web-token-missing", "/pair", "/who")
ALONE = {*ADDRESSES.values(), "/look", "/find", "/pair", "/who"}
"""What the menu or the search leads to from everywhere, and where a tablet comes in: above these is the first page."""
REFUSED = (
    ("get", "/nowhere", 404),
    ("get", "/presses/none", 404),
    ("get", "/presses/heron/Z", 404),
    ("get", "/rollers/none", 404),
    ("get", "/rounds/99", 404),
    ("get", "/jobs/logged/NONE-NONE", 422),
    ("get", "/messages/none", 404),
    ("get", "/procedures/none", 404),
    ("get", "/history/9999/undo", 404),
    ("get", "/jobs/try?where=heron/A&coverage=1", 422),
    ("get", "/jobs/foreseen?where=nowhere", 422),
    ("post", "/rounds", 403),
    ("post", "/look", 403),
    ("post", "/presses", 405),
)


def kind_of(path: str) -> str:
    plain = path.partition("?")[0]
    routes = (route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute))
    return next((each.path for each in routes if "GET" in each.methods and each.path_regex.match(plain)), plain)


def links_of(text: str) -> list[str]:
    found = (unescape(each) for each in re.findall(r'<a\b[^>]*?href="([^"]*)"', text))
    return list(dict.fromkeys(each.partition("#")[0] for each in found if not each.startswith("#")))


def above(text: str) -> list[str]:
    """Where the page says it belongs: the link back, or the place of the menu it stands in."""
    back = re.findall(r'<p class="back"><a href="([^"]+)"', text)
    menu = re.findall(r'<a href="([^"]+)" aria-current="page"', text)
    return [unescape(each) for each in (*back, *menu)]


def lost(path: str, text: str) -> list[str]:
    """What is missing on a page for somebody who wants to leave it."""
    missing = [] if "/" in links_of(text) else ["no way home"]
    plain = path.partition("?")[0]
    if plain not in ALONE and not [each for each in above(text) if each.partition("?")[0] != plain]:
        missing.append("no way to the page above")
    return [f"{path}: {each}" for each in missing]


def walked(visit: Visit, starts: list[str]) -> tuple[Counter[str], list[str]]:
    """How many pages of each kind were seen, and what is wrong with them and with the links on them."""
    seen: Counter[str] = Counter()
    ahead, known, wrong = [*starts], {*starts}, []
    while ahead:
        path = ahead.pop(0)
        if path not in starts and seen[kind_of(path)] >= MOST_OF_A_KIND:
            continue
        seen[kind_of(path)] += 1
        answer = visit.client.get(path)
        if answer.status_code >= 400:
            wrong.append(f"{path}: {answer.status_code}")
        if "html" not in answer.headers["content-type"]:
            continue
        wrong += lost(str(answer.url).removeprefix(str(visit.client.base_url).rstrip("/")), answer.text)
        new = [each for each in links_of(answer.text) if each not in known]
        known.update(new)
        ahead += new
    return seen, wrong


def test_a_workshop_in_use(tmp_path: Path) -> None:
    visit = Visit(tmp_path)
    states = lived_in(tmp_path)
    seen, wrong = walked(visit, [*STARTS, *states])
    assert wrong == []
    assert len(seen) > 35, "kinds of pages"


def test_an_empty_workshop(visit: Visit) -> None:
    seen, wrong = walked(visit, list(STARTS))
    assert wrong == []
    assert len(seen) > 10, "kinds of pages"


@pytest.mark.parametrize(("method", "path", "status"), REFUSED)
def test_a_refusal_says_the_way_out(at_heron: Visit, method: str, path: str, status: int) -> None:
    answer = at_heron.client.request(method.upper(), path)
    assert answer.status_code == status
    assert "/" in links_of(answer.text)
    assert label("web.to_start") in answer.text or above(answer.text)
    assert re.search(r'<p class="remedy">\s*\S', answer.text), "and what to do"


def test_a_page_without_a_way_out_would_be_noticed() -> None:
    assert lost("/presses/heron", '<a href="/presses/heron" aria-current="page">') == [
        "/presses/heron: no way home",
        "/presses/heron: no way to the page above",
    ]
