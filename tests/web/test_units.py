"""Every page in the units its reader chose: found by following the links of a shop in which work was done.

An inch is 25.4 mm exactly (international yard and pound, 1959); 0 and 100 °C are 32 and 212 °F by definition.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser
from urllib.parse import urlencode

import pytest

from browser.looking import downloads, kind_of
from filmsplit.web.length_fields import in_mm
from web.served import Visit
from web.test_job_files import set_at
from web.test_try import fields_of
from web.worked import TYPED, read_round, worked_shop

MOST_OF_A_KIND = 2
TOLD_IN = re.compile(r"(?<![\w/])(?:mm|°C)(?![\w/²³])|[0-9]mm\b")


NUMBER = re.compile(r"(?<![\w.])-?[0-9]+(?:\.[0-9]+)?")


class Read(HTMLParser):
    """What a person reads or is read of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._within: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("script", "style"):
            self._within.append(tag)
        told = ("aria-label", "alt", "title", "placeholder", "aria-description", "aria-valuetext")
        self.texts += [value or "" for name, value in attrs if name in told]

    def handle_endtag(self, tag: str) -> None:
        if self._within and self._within[-1] == tag:
            self._within.pop()

    def handle_data(self, data: str) -> None:
        if not self._within:
            self.texts.append(" ".join(data.split()))


def texts_of(text: str, *, drawn: bool = True) -> list[str]:
    parser = Read()
    parser.feed(text if drawn else re.sub(r"(?s)<svg.*?</svg>", "", text))
    return [each for each in parser.texts if each]


def walked(visit: Visit, starts: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Pages by following the links, a few of every kind."""
    looked: Counter[str] = Counter()
    ahead, known = [*starts], {*starts}
    while ahead:
        address = ahead.pop(0)
        if looked[kind_of(address)] >= MOST_OF_A_KIND:
            continue
        looked[kind_of(address)] += 1
        text = settled(visit, address)
        yield address, text
        links = (each.replace("&amp;", "&").partition("#")[0] for each in re.findall(r'href="(/[^"#]*)', text))
        new = [each for each in dict.fromkeys(links) if each not in known and not downloads(each)]
        known.update(new)
        ahead += new


def settled(visit: Visit, address: str) -> str:
    """A page, when what it waits for is there."""
    return set_at(visit, address) if address.startswith("/jobs/set?") else visit.page(address)


def quantities(texts: list[str]) -> list[str]:
    return [each for each in texts if TOLD_IN.search(each)]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Visit:
    """A shop with a round on record."""
    visit = Visit(tmp_path_factory.mktemp("round"))
    visit.send("/presses/bring", press="heron")
    visit.send("/presses/heron/register")
    read_round(visit)
    return visit


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[str, str]]:
    """Pages by their address: as who reads mm and °C has them, and as who reads inches and °F."""
    visit = Visit(tmp_path_factory.mktemp("shop"))
    starts = worked_shop(visit, tmp_path_factory.mktemp("made"))
    metric = dict(walked(visit, ("/", *starts)))
    visit.send("/look", light="light", size="bench", lengths="in", temperatures="°F")
    return {address: (text, settled(visit, address)) for address, text in metric.items()}


AS_WRITTEN = {
    "/look": "the choice itself",
    "/words": "what a word means; there a unit says how a thing is told in press files",
    "/presses/{name}/edit": "the fields of the press file, which is in mm",
    "/presses/new": "the same",
}
"""Kinds of pages on which mm and °C may stand, and why."""
FROM_THE_PRESS_FILE = re.compile(r"round \d+ mm journal in an? \w+ \w+")
"""Words of the invented presses' own files."""


def test_no_page_tells_mm_or_celsius_to_who_reads_inches_and_fahrenheit(read: dict[str, tuple[str, str]]) -> None:
    kinds = {kind_of(address) for address in read}
    assert {"/jobs/foreseen", "/jobs/set", "/jobs/try", "/rounds/{number}/result", "/rollers/{mark}"} <= kinds
    wrong = {
        address: found
        for address, (_, other) in read.items()
        if kind_of(address) not in AS_WRITTEN
        and (found := [each for each in quantities(texts_of(other)) if not FROM_THE_PRESS_FILE.fullmatch(each)])
    }
    assert wrong == {}


def test_the_same_pages_do_tell_them_to_who_reads_those(read: dict[str, tuple[str, str]]) -> None:
    telling = {kind_of(address) for address, (metric, _) in read.items() if quantities(texts_of(metric))}
    assert len(telling) > 15


OWN_STEPS = ("/rounds/{number}/contact/{a}/{b}", "/presses/{name}/edit", "/jobs/try")
"""Pages that offer other round widths to who reads inches, not the same in other units."""


def test_every_number_is_the_same_length_or_temperature(read: dict[str, tuple[str, str]]) -> None:
    changed = 0
    for address, (metric, other) in read.items():
        if kind_of(address) in OWN_STEPS:
            continue
        before, after = (texts_of(text, drawn=False) for text in (metric, other))
        assert len(before) == len(after), address
        for one, two in zip(before, after, strict=True):
            if one != two and kind_of(address) != "/look":
                changed += 1
                assert _same(one, two), (address, one, two)
    assert changed > 200


def _same(one: str, two: str) -> bool:
    """Whether two texts differ in numbers of mm and °C alone, each the same quantity to within its last digit."""
    numbers, others = (NUMBER.findall(text) for text in (one, two))
    return len(numbers) == len(others) and all(map(_number_same, numbers, others))


def _number_same(one: str, two: str) -> bool:
    value, found = float(one), float(two)
    coarse = 0.5 * 10.0 ** -len(one.partition(".")[2])
    finest = 0.5 * 10.0 ** -len(two.partition(".")[2]) * 1.001 + (0.0 if value == found else coarse / 25.4)
    ways = (value, value / 25.4, value * 1.8 + 32, value * 1.8)
    two_digits = abs(found - value / 25.4) <= 0.05 * abs(found)
    return any(abs(found - way) <= finest for way in ways) or two_digits


def test_a_length_typed_in_inches_is_kept_in_mm(shop: Visit) -> None:
    """An address tells the same job to who reads mm: 16.5 in are 419.1 mm."""
    told = {**TYPED, "sheet_long": "16.5", "in_inches": "sheet_long"}
    assert in_mm(told) == {**TYPED, "sheet_long": "419.1"}
    assert in_mm({"sheet_long": "16 1/2 in", "in_inches": "sheet_long"}) == {"sheet_long": "419.1"}
    assert in_mm({"sheet_long": "wide", "in_inches": "sheet_long title"}) == {"sheet_long": "wide"}
    shop.send("/look", light="light", size="bench", lengths="in", temperatures="°F")
    as_it_stands = fields_of(shop.page(f"/jobs/try?{urlencode(TYPED)}"))
    assert as_it_stands["in_inches"] == "stroke"
    boxes = {"on_F1": "yes", "on_F2": "yes"}
    text = shop.page(f"/jobs/try?{urlencode(TYPED | as_it_stands | boxes | {'stroke': '0.5'})}")
    assert re.search(r'name="stroke"[^>]* value="0.5"', text)
    assert "oscillator stroke 12.7 mm" not in text
    assert "oscillator+stroke+0.500+in" in text, "what is taken to the log says its unit"


def test_what_is_taken_away_is_in_mm_whoever_takes_it(shop: Visit) -> None:
    shop.send("/look", light="light", size="bench", lengths="in", temperatures="°F")
    assert "6 / 6 / 6 mm" in shop.page("/history.csv")
    assert "0.236 / 0.236 / 0.236 in" in " ".join(texts_of(shop.page("/history")))
    told = shop.page("/api/presses/heron/units/A/contacts/F1/plate")
    assert not re.search(r"[0-9] in\b", told)
