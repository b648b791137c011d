"""Ink zones of job tickets: what the schemas want, what may be missing, and XML made to do harm."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest

from filmsplit.formats import ink_zones_xml
from filmsplit.formats.coverage_typed import typed_coverage
from filmsplit.formats.ink_zones_reader import ink_zones_of, read_ink_zones
from filmsplit.messages import Refusal
from formats.made_tickets import JDF, XJDF, jdf, xjdf

BOTH = 'ZoneWidth="85.04" ZoneSettingsX="0 0.25 1"'


def refused(data: bytes) -> list[str]:
    with pytest.raises(Refusal) as refusal:
        ink_zones_of(data, name="ticket")
    assert all(problem.what and problem.remedy for problem in refusal.value.problems)
    return [problem.slug for problem in refusal.value.problems]


def test_jdf_parts_inherit() -> None:
    (zones,) = ink_zones_of(jdf((0.0, 0.25, 1.0), 'ZoneHeight="72" ZoneSettingsY="0.5 1"'), name="ticket")
    assert zones.shares == (0.0, 0.25, 1.0)
    assert zones.zone_mm == pytest.approx(30.0)
    assert zones.height_mm == pytest.approx(25.4)
    assert zones.around == (0.5, 1.0)
    assert zones.ink == "Black"
    assert zones.part == {"SheetName": "S1", "Side": "Front", "Separation": "Black"}


def test_xjdf_parts_stand_beside() -> None:
    (zones,) = ink_zones_of(xjdf(BOTH), name="ticket")
    assert (zones.ink, zones.shares) == ("Cyan", (0.0, 0.25, 1.0))
    assert zones.zone_mm == pytest.approx(30.0, abs=0.001)
    assert zones.part["Side"] == "Front"


def test_the_map_of_a_profile() -> None:
    (zones,) = ink_zones_of(xjdf(BOTH), name="ticket")
    artwork = zones.coverage(round_mm=400.0, file="ticket", first_mm=15.0)
    np.testing.assert_allclose(artwork.coverage, [[0.0, 0.25, 1.0]])
    np.testing.assert_allclose(artwork.across_edges_mm, 15 + np.arange(4) * 30.0, atol=0.002)
    assert "3" in artwork.steps[0].text


@pytest.mark.parametrize(
    ("attributes", "slugs"),
    [
        # Check 30: the two are required by both schemas, and nothing else is.
        (BOTH, None),
        ('ZoneWidth="85.04"', ["ticket-attribute-missing"]),
        ('ZoneSettingsX="0 1"', ["ticket-attribute-missing"]),
        ("", ["ticket-attribute-missing", "ticket-attribute-missing"]),
        ('ZoneWidth="85.04" ZoneSettingsX=""', ["ticket-attribute-missing"]),
        ('ZoneWidth="85.04" ZoneSettingsX="0 1.2"', ["ticket-value-wrong"]),
        ('ZoneWidth="85.04" ZoneSettingsX="0 -0.1"', ["ticket-value-wrong"]),
        ('ZoneWidth="0" ZoneSettingsX="0 1"', ["ticket-value-wrong"]),
        ('ZoneWidth="wide" ZoneSettingsX="0 1"', ["ticket-value-wrong"]),
        ('ZoneWidth="nan" ZoneSettingsX="inf"', ["ticket-value-wrong", "ticket-value-wrong"]),
        ('ZoneWidth="1 2" ZoneSettingsX="0 1"', ["ticket-value-wrong"]),
        ('ZoneWidth="1e9" ZoneSettingsX="0 1"', ["ticket-value-wrong"]),
        (f'ZoneWidth="85.04" ZoneSettingsX="{"0 " * 501}"', ["ticket-value-wrong"]),
        (BOTH + ' ZoneSettingsY="2"', ["ticket-value-wrong"]),
        (BOTH + ' ZoneHeight="-1"', ["ticket-value-wrong"]),
    ],
)
def test_what_a_profile_needs(attributes: str, slugs: list[str] | None) -> None:
    tickets = (
        xjdf(attributes),
        xjdf("", part="").replace(b"InkZoneProfile />", f"InkZoneProfile {attributes}/>".encode()),
    )
    for ticket in tickets:
        if slugs is None:
            assert ink_zones_of(ticket, name="ticket")
        else:
            assert refused(ticket) == slugs


def test_fountain_positions_are_a_word_of_jdf_only() -> None:
    """Check 30, from the schemas."""
    assert ink_zones_of(jdf((0.5,), 'FountainPositions="0 100"'), name="ticket")
    assert refused(xjdf(BOTH + ' FountainPositions="0 100"')) == ["ticket-not-in-this-version"]


@pytest.mark.parametrize("namespace", ["", "http://www.CIP4.org/JDFSchema_3_0", "http://example.org/other"])
def test_other_namespaces_are_refused(namespace: str) -> None:
    assert refused(jdf((0.5,), namespace=namespace)) == ["ticket-other-standard"]
    assert refused(xjdf(BOTH, namespace=namespace)) == ["ticket-other-standard"]


def test_the_two_namespaces_are_those_of_the_schemas() -> None:
    """Check 30: JDFSchema_1_1 and JDFSchema_2_0."""
    assert (JDF[-13:], XJDF[-13:]) == ("JDFSchema_1_1", "JDFSchema_2_0")
    assert ink_zones_of(jdf((0.5,)), name="ticket")
    assert ink_zones_of(xjdf(BOTH), name="ticket")


def test_profiles_of_another_namespace_inside_a_ticket_are_passed_by() -> None:
    foreign = xjdf(BOTH).replace(b"<InkZoneProfile", b'<InkZoneProfile xmlns="http://example.org/other"')
    assert refused(foreign) == ["ticket-without-zones"]


def test_every_ink_in_the_order_of_the_file_and_every_fault_at_once() -> None:
    inner = '</InkZoneProfile><InkZoneProfile Side="Back"><InkZoneProfile Separation="Gold" ZoneSettingsX="{}"/>'
    good = jdf((0.1, 0.2)).replace(
        b"</InkZoneProfile></InkZoneProfile>",
        (inner.format("0.3 0.4") + "</InkZoneProfile></InkZoneProfile>").encode(),
        1,
    )
    assert [zones.ink for zones in ink_zones_of(good, name="ticket")] == ["Black", "Gold"]
    assert refused(good.replace(b"0.1 0.2", b"7").replace(b"0.3 0.4", b"x")) == ["ticket-value-wrong"] * 2


BOMB = """<?xml version="1.0"?><!DOCTYPE JDF [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;">]><JDF xmlns="{}">&d;</JDF>"""


@pytest.mark.parametrize(
    ("data", "slug"),
    [
        (BOMB.format(JDF), "ticket-document-type"),
        (
            f'<!DOCTYPE JDF [<!ENTITY x SYSTEM "file:///etc/passwd">]><JDF xmlns="{JDF}">&x;</JDF>',
            "ticket-document-type",
        ),
        (f'<!DOCTYPE JDF SYSTEM "http://127.0.0.1:1/x.dtd"><JDF xmlns="{JDF}"/>', "ticket-document-type"),
        (f'<!DOCTYPE JDF [<!ENTITY % x SYSTEM "file:///etc/passwd"> %x;]><JDF xmlns="{JDF}"/>', "ticket-document-type"),
        (f'<JDF xmlns="{JDF}">&undefined;</JDF>', "ticket-not-xml"),
        ("", "ticket-not-xml"),
        ("not XML", "ticket-not-xml"),
        (f'<JDF xmlns="{JDF}">', "ticket-not-xml"),
        (f'<?xml version="1.0" encoding="nobody-knows"?><JDF xmlns="{JDF}"/>', "ticket-not-xml"),
        (f'<JDF xmlns="{JDF}">' + "<a>" * 500 + "</a>" * 500 + "</JDF>", "ticket-too-deep"),
        (f'<JDF xmlns="{JDF}">' + "<a/>" * 100_001 + "</JDF>", "ticket-too-deep"),
        (f'<JDF xmlns="{JDF}"/>', "ticket-without-zones"),
        (f'<x:JDF xmlns:x="{JDF}" x:a="1" a="2"/>', "ticket-without-zones"),
    ],
    ids=lambda text: text[:40],
)
def test_xml_made_to_do_harm(data: str, slug: str) -> None:
    begun = time.monotonic()
    assert refused(data.encode()) == [slug]
    assert time.monotonic() - begun < 60  # a hang shows here (this project's own bound)


def test_longer_than_any_ticket(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ink_zones_xml, "MOST_BYTES", 100)
    assert refused(jdf((0.5,))) == ["ticket-too-long"]


def test_from_a_file(tmp_path: Path) -> None:
    path = tmp_path / "ticket.jdf"
    path.write_bytes(jdf((0.5,)))
    assert read_ink_zones(path)[0].shares == (0.5,)
    with pytest.raises(Refusal) as refusal:
        read_ink_zones(tmp_path / "none.jdf")
    assert refusal.value.problems[0].slug == "file-not-readable"


EDGES = np.arange(6) * 30.0


@pytest.mark.parametrize("text", ["0 2 10,5 25 100", "0; 2; 10.5; 25; 100", " 0% 2 % 10,5% 25% 100% "])
def test_typed_percents(text: str) -> None:
    artwork = typed_coverage(text, EDGES, round_mm=400.0, ink="black")
    np.testing.assert_allclose(artwork.coverage, [[0, 0.02, 0.105, 0.25, 1]])
    assert artwork.steps[0].text


def test_the_same_percent_several_times() -> None:
    for text in ("2x10 3 × 20", "2*10 3x20"):
        artwork = typed_coverage(text, EDGES, round_mm=400.0, ink="black")
        np.testing.assert_allclose(artwork.coverage, [[0.1, 0.1, 0.2, 0.2, 0.2]])


@pytest.mark.parametrize(
    ("text", "slugs"),
    [
        ("1 2 3 4", ["coverage-zones-do-not-fit"]),
        ("", ["coverage-zones-do-not-fit"]),
        ("1 2 3 4 101", ["coverage-not-a-percent"]),
        ("-1 2 y 4 5", ["coverage-not-a-percent", "coverage-not-a-percent"]),
        ("1e2 1 1 1 1", ["coverage-not-a-percent"]),
        ("999x1", ["coverage-zones-do-not-fit"]),
        ("9999x1", ["coverage-not-a-percent"]),
        ("1,2,3,4,5", ["coverage-not-a-percent"]),
    ],
)
def test_typed_wrongly(text: str, slugs: list[str]) -> None:
    with pytest.raises(Refusal) as refusal:
        typed_coverage(text, EDGES, round_mm=400.0, ink="black")
    assert [problem.slug for problem in refusal.value.problems] == slugs
    assert all(problem.what for problem in refusal.value.problems)
