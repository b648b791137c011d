"""Tickets against schemas, by a general validator.

Source: the JDF and XJDF schemas published by CIP4; the two in ``schemas`` are ours, written after the published ones,
and say at their heads what was read, what is from memory, and why no copy is kept here.
"""

from __future__ import annotations

import string
from collections.abc import Callable
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
import xmlschema
from hypothesis import given
from hypothesis import strategies as st

from filmsplit.formats.ink_zones_reader import JDF, XJDF, InkZones, ink_zones_of
from filmsplit.formats.ink_zones_write import jdf_of, xjdf_of
from filmsplit.formats.xml_tokens import from_token, to_token
from filmsplit.messages import Refusal

SCHEMAS = Path(__file__).with_name("schemas")
WRITERS: dict[str, Callable[..., bytes]] = {"jdf": jdf_of, "xjdf": xjdf_of}
SPACES = {"jdf": JDF, "xjdf": XJDF}
BOTH = pytest.mark.parametrize("kind", WRITERS)
TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="\ufffe\uffff"))


@cache
def schema(kind: str) -> xmlschema.XMLSchema:
    return xmlschema.XMLSchema(SCHEMAS / f"{kind}-ink-zones.xsd")


def is_valid(kind: str, ticket: bytes | ElementTree.Element) -> bool:
    return bool(schema(kind).is_valid(ElementTree.fromstring(ticket) if isinstance(ticket, bytes) else ticket))


def profile(ink: str, *, sheet: str = "S1", around: tuple[float, ...] = ()) -> InkZones:
    part = {"SheetName": sheet, "Side": "Front", "Separation": ink}
    return InkZones(ink=ink, shares=(0.0, 0.25, 1.0), zone_mm=30.0, height_mm=40.0, around=around, part=part)


def written(kind: str) -> ElementTree.Element:
    return ElementTree.fromstring(WRITERS[kind]([profile("Black"), profile("Spot 7", around=(0.5,))], job="order 12"))


def innermost(kind: str, ticket: ElementTree.Element) -> ElementTree.Element:
    """In JDF the whole resource, in XJDF the first profile: where the schema requires both attributes."""
    found = ticket.find(f".//{{{SPACES[kind]}}}InkZoneProfile")
    assert found is not None
    return found


@BOTH
def test_what_we_write_is_valid(kind: str) -> None:
    schema(kind).validate(written(kind))


@BOTH
@given(ink=TEXTS.filter(bool), job=TEXTS.filter(bool), sheet=TEXTS.filter(bool))
def test_whatever_the_names_what_we_write_is_valid_and_comes_back(kind: str, ink: str, job: str, sheet: str) -> None:
    ticket = WRITERS[kind]([profile(ink, sheet=sheet)], job=job)
    schema(kind).validate(ElementTree.fromstring(ticket))
    (back,) = ink_zones_of(ticket, name="ticket")
    assert (back.ink, back.part["SheetName"]) == (ink, sheet)


@BOTH
@pytest.mark.parametrize("attribute", ["ZoneWidth", "ZoneSettingsX"])
def test_without_what_is_required_it_is_invalid_and_not_read(kind: str, attribute: str) -> None:
    ticket = written(kind)
    for each in ticket.iter(f"{{{SPACES[kind]}}}InkZoneProfile"):
        each.attrib.pop(attribute, None)
    assert not is_valid(kind, ticket)
    with pytest.raises(Refusal) as refusal:
        ink_zones_of(ElementTree.tostring(ticket), name="ticket")
    assert {problem.slug for problem in refusal.value.problems} == {"ticket-attribute-missing"}


@BOTH
def test_with_just_the_two_it_is_valid(kind: str) -> None:
    ticket = written(kind)
    for each in ticket.iter(f"{{{SPACES[kind]}}}InkZoneProfile"):
        for attribute in ("ZoneHeight", "ZoneSettingsY"):
            each.attrib.pop(attribute, None)
    assert is_valid(kind, ticket)


def test_in_jdf_the_whole_resource_needs_them_too() -> None:
    """Parts inherit and may leave them out; the resource itself may not, and its parts alone are not enough."""
    ticket = written("jdf")
    del innermost("jdf", ticket).attrib["ZoneSettingsX"]
    assert not is_valid("jdf", ticket)


def test_in_jdf_who_passes_over_parts_gets_no_ink() -> None:
    assert innermost("jdf", written("jdf")).attrib["ZoneSettingsX"] == "0 0 0"


@BOTH
def test_the_other_namespace_is_invalid_and_names_no_standard_we_know(kind: str) -> None:
    other = {"jdf": "xjdf", "xjdf": "jdf"}[kind]
    text = ElementTree.tostring(written(kind)).replace(SPACES[kind].encode(), SPACES[other].encode())
    assert not is_valid(kind, text)


def test_namespaces_of_the_two_standards() -> None:
    assert SPACES == {"jdf": "http://www.CIP4.org/JDFSchema_1_1", "xjdf": "http://www.CIP4.org/JDFSchema_2_0"}
    for kind, space in SPACES.items():
        assert schema(kind).target_namespace == space


FOUNTAIN = 'FountainPositions="0 85 170"'
JDF_TICKET = f"""<JDF xmlns="{JDF}" ID="n1" Type="InkZoneCalculation" Status="Waiting"><ResourcePool>
<InkZoneCalculationParams Class="Parameter" ID="r1" Status="Available" Zones="2" {{}}/></ResourcePool></JDF>"""
XJDF_TICKET = f"""<XJDF xmlns="{XJDF}" JobID="j1" Types="InkZoneCalculation">
<ResourceSet Name="InkZoneCalculationParams"><Resource>
<InkZoneCalculationParams Zones="2" {{}}/></Resource></ResourceSet></XJDF>"""


@pytest.mark.parametrize(
    ("kind", "text", "more", "valid"),
    [
        ("jdf", JDF_TICKET, "", True),
        ("jdf", JDF_TICKET, FOUNTAIN, True),
        ("xjdf", XJDF_TICKET, "", True),
        ("xjdf", XJDF_TICKET, FOUNTAIN, False),
    ],
)
def test_positions_of_fountains_are_legal_in_jdf_only(kind: str, text: str, more: str, valid: bool) -> None:
    assert is_valid(kind, text.format(more).encode()) is valid


def test_a_token_is_a_token_of_the_validator() -> None:
    """In XJDF a name with a blank, as it stands, is invalid: the reason for tokens."""
    ticket = written("xjdf")
    part = ticket.find(f".//{{{XJDF}}}Part[@Separation='Spot_x0020_7']")
    assert part is not None
    part.set("Separation", "Spot 7")
    assert not is_valid("xjdf", ticket)


@given(text=TEXTS, other=TEXTS)
def test_tokens_come_back_and_stay_apart(text: str, other: str) -> None:
    assert from_token(to_token(text)) == text
    assert (to_token(text) == to_token(other)) == (text == other)


@pytest.mark.parametrize(
    ("text", "token"),
    # As in ISO/IEC 9075-14 (memory); an underscore is written out only where it would mislead.
    [
        ("a b", "a_x0020_b"),
        ("_x005F_", "_x005F_x005F_"),
        ("a_b", "a_b"),
        ("Grün", "Grün"),
        ("\U0001f58b", "_x0001F58B_"),
    ],
)
def test_tokens_as_the_standard_writes_them(text: str, token: str) -> None:
    assert to_token(text) == token
    assert from_token(token) == text


def test_letters_and_figures_stay() -> None:
    plain = string.ascii_letters + string.digits + "-._:"
    assert to_token(plain) == plain
