"""Ink zones written: the reader gets back what was written, and the standard's required words are there."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Sequence
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmsplit.formats.ink_zones_reader import InkZones, ink_zones_of
from filmsplit.formats.ink_zones_write import csv_of, jdf_of, json_of, xjdf_of
from filmsplit.messages import Refusal

Write = Callable[..., bytes]
BOTH = pytest.mark.parametrize("write", [jdf_of, xjdf_of])
SHARES = st.lists(st.floats(0, 1), min_size=1, max_size=40).map(tuple)
NAMES = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="\ufffe\uffff"), min_size=1
)


def profile(ink: str, shares: Sequence[float] = (0.0, 0.25, 1.0), *, side: str = "Front") -> InkZones:
    part = {"SheetName": "S1", "Side": side, "Separation": ink}
    return InkZones(ink=ink, shares=tuple(shares), zone_mm=30.0, height_mm=None, around=(), part=part)


@BOTH
@given(shares=SHARES, ink=NAMES)
def test_comes_back_as_it_was(write: Write, shares: tuple[float, ...], ink: str) -> None:
    (back,) = ink_zones_of(write([profile(ink, shares)], job="J"), name="ticket")
    assert back.ink == ink
    assert back.zone_mm == pytest.approx(30.0, abs=1e-5)
    assert back.shares == pytest.approx(shares, abs=1e-6)
    assert back.part == {"SheetName": "S1", "Side": "Front", "Separation": ink}


@BOTH
def test_parts_keep_apart(write: Write) -> None:
    written = [profile("Cyan"), profile("A & <B>\"'"), profile("Cyan", (0.5,), side="Back")]
    back = ink_zones_of(write(written, job='"job" & <co>'), name="ticket")
    assert {(each.ink, each.part["Side"], each.shares) for each in back} == {
        (each.ink, each.part["Side"], each.shares) for each in written
    }


def test_words_of_the_standards() -> None:
    """CIP4: names, namespaces, and 30 mm as 85.0394 points of 1/72 inch."""
    xjdf = ElementTree.fromstring(xjdf_of([profile("Cyan")], job="J"))
    space = "{http://www.CIP4.org/JDFSchema_2_0}"
    assert xjdf.tag == f"{space}XJDF"
    assert {"JobID", "Types"} <= set(xjdf.attrib)
    found = xjdf.find(f"{space}ResourceSet[@Name='InkZoneProfile']/{space}Resource/{space}InkZoneProfile")
    assert found is not None
    assert found.attrib == {"ZoneWidth": "85.03937", "ZoneSettingsX": "0 0.25 1"}
    jdf = ElementTree.fromstring(jdf_of([profile("Cyan"), profile("Black")], job="J"))
    space = "{http://www.CIP4.org/JDFSchema_1_1}"
    pool = jdf.find(f"{space}ResourcePool/{space}InkZoneProfile")
    assert pool is not None
    assert {"Class", "ID", "Status"} <= set(pool.attrib)
    assert pool.attrib["PartIDKeys"] == "SheetName Side Separation"
    assert len(pool.findall(f"{space}InkZoneProfile")) == 1, "two inks of one sheet share its part"
    link = jdf.find(f"{space}ResourceLinkPool/{space}InkZoneProfileLink")
    assert link is not None
    assert link.attrib["rRef"] == pool.attrib["ID"]


@BOTH
@pytest.mark.parametrize("bad", ["bell\x07", "nul\x00", "no character \ufffe"])
def test_what_xml_cannot_hold_is_refused(write: Write, bad: str) -> None:
    with pytest.raises(Refusal) as refusal:
        write([profile(bad)], job="J")
    assert [problem.slug for problem in refusal.value.problems] == ["ticket-text-not-xml"]


@BOTH
@pytest.mark.parametrize("shares", [(), (1.01,), (float("nan"),)])
def test_settings_no_ticket_may_have(write: Write, shares: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="settings"):
        write([profile("Cyan", shares)], job="J")


def test_parts_of_one_jdf_resource_differ() -> None:
    with pytest.raises(ValueError, match="parts"):
        jdf_of([profile("Cyan"), profile("Cyan")], job="J")


def test_csv_and_json_carry_the_same() -> None:
    rows = list(csv.DictReader(io.StringIO(csv_of([profile('Spot, "7"')]))))
    assert [(row["ink"], row["zone"], float(row["end_mm"]), float(row["coverage"])) for row in rows] == [
        ('Spot, "7"', "1", 30.0, 0.0), ('Spot, "7"', "2", 60.0, 0.25), ('Spot, "7"', "3", 90.0, 1.0)
    ]  # fmt: skip
    told = json.loads(json_of([profile("Cyan")]))
    assert told["kind"] == "ink-zones 1"
    assert told["profiles"][0]["coverage"] == [0.0, 0.25, 1.0]
