"""Ink-zone profiles written: JDF 1.x and XJDF 2.x job tickets, CSV, JSON. What the reader reads, it gets back.

Source: CIP4, JDF Specification 1.6 and XJDF Specification 2.1, resource ``InkZoneProfile``: ``ZoneWidth`` (points) and
``ZoneSettingsX`` (0..1 by zone, from the operator's side) are required; ``ZoneHeight`` and ``ZoneSettingsY`` may be
there. The published schemas ask for two more things: in JDF the whole resource has the required attributes too, not
only its parts; in XJDF job numbers and names in parts are tokens, without blanks.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from xml.etree import ElementTree

from filmsplit.formats.ink_zones_reader import JDF, MM_PER_POINT, PROFILE, XJDF, InkZones
from filmsplit.formats.xml_tokens import to_token
from filmsplit.messages import Problem, Refusal

KIND = "ink-zones 1"
"""What the JSON calls itself."""

PART_KEYS = ("SignatureName", "SheetName", "Side", "Separation")
"""Keys of a part, in the order in which JDF nests them."""

NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML 1.0 document can hold (W3C, Extensible Markup Language 1.0, production 2)."""


def xjdf_of(profiles: Sequence[InkZones], *, job: str) -> bytes:
    """An XJDF ticket of one set of profiles; ``job`` is its job id. :class:`Refusal` where a text cannot be written."""
    _check(profiles, job)
    head = {"xmlns": XJDF, "JobID": to_token(job), "Types": "ConventionalPrinting", "Version": "2.1"}
    ticket = ElementTree.Element("XJDF", {**head, "DescriptiveName": job})
    resources = ElementTree.SubElement(ticket, "ResourceSet", {"Name": PROFILE, "Usage": "Input"})
    for each in profiles:
        resource = ElementTree.SubElement(resources, "Resource", {"DescriptiveName": each.ink})
        part = {key: to_token(value) for key, value in _part(each).items() if value}
        if part:
            ElementTree.SubElement(resource, "Part", part)
        ElementTree.SubElement(resource, PROFILE, _settings(each))
    return _written(ticket)


def jdf_of(profiles: Sequence[InkZones], *, job: str) -> bytes:
    """A JDF ticket of one process with its profiles, nested by part. :class:`Refusal` as :func:`xjdf_of`.

    ``ValueError`` where the profiles do not all have the same keys of parts, or two have the same part.
    """
    _check(profiles, job)
    parts = [_part(each) for each in profiles]
    keys = list(parts[0])
    if any(list(part) != keys for part in parts) or len({tuple(part.values()) for part in parts}) < len(parts):
        raise ValueError("parts of one resource need the same keys, and each its own values")
    process = {"ID": "n1", "JobID": job, "JobPartID": "print", "Status": "Waiting", "Type": "ConventionalPrinting"}
    ticket = ElementTree.Element("JDF", {"xmlns": JDF, "Version": "1.6", **process})
    pool = ElementTree.SubElement(ticket, "ResourcePool")
    head = {"Class": "Parameter", "ID": "zones", "Status": "Available", "PartIDKeys": " ".join(keys)}
    whole = ElementTree.SubElement(pool, PROFILE, head | _settings(_shut(profiles[0])))
    _nest(whole, list(zip(profiles, parts, strict=True)), keys)
    links = ElementTree.SubElement(ticket, "ResourceLinkPool")
    ElementTree.SubElement(links, f"{PROFILE}Link", {"Usage": "Input", "rRef": "zones"})
    return _written(ticket)


def csv_of(profiles: Iterable[InkZones]) -> str:
    """One line for each zone of each ink."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(("ink", "zone", "first_mm", "end_mm", "coverage"))
    for each in profiles:
        for zone, share in enumerate(each.shares):
            edges = (zone * each.zone_mm, (zone + 1) * each.zone_mm)
            table.writerow((each.ink, zone + 1, *(_number(edge) for edge in edges), _number(share)))
    return text.getvalue()


def json_of(profiles: Iterable[InkZones]) -> str:
    """The profiles with units in the names, under ``kind``."""
    told = [
        {"ink": each.ink, "zone_mm": each.zone_mm, "coverage": list(each.shares), "part": dict(each.part)}
        for each in profiles
    ]
    return json.dumps({"kind": KIND, "profiles": told}, ensure_ascii=False, indent=2) + "\n"


def _check(profiles: Sequence[InkZones], job: str) -> None:
    """Texts that XML cannot hold, and settings no ticket may have. At least one profile is needed."""
    if not profiles or not job:
        raise ValueError("a ticket needs a job id and at least one profile")
    for each in profiles:
        if not each.shares or each.zone_mm <= 0 or any(not 0 <= share <= 1 for share in each.shares):
            raise ValueError("a profile needs zones wider than 0 with settings from 0 to 1")
    texts = [job, *(text for each in profiles for text in _part(each).values())]
    bad = [text for text in texts if NOT_XML.search(text)]
    if bad:
        raise Refusal([Problem("ticket-text-not-xml", {"text": NOT_XML.sub("?", text)[:60]}) for text in bad])


def _part(profile: InkZones) -> dict[str, str]:
    """The part's keys in the order of nesting; the ink is its separation unless the part says otherwise."""
    said = {"Separation": profile.ink, **profile.part}
    return {key: said[key] for key in PART_KEYS if key in said}


def _settings(profile: InkZones) -> dict[str, str]:
    told = {
        "ZoneWidth": _number(profile.zone_mm / MM_PER_POINT),
        "ZoneSettingsX": " ".join(_number(share) for share in profile.shares),
    }
    if profile.height_mm is not None:
        told["ZoneHeight"] = _number(profile.height_mm / MM_PER_POINT)
    if profile.around:
        told["ZoneSettingsY"] = " ".join(_number(share) for share in profile.around)
    return told


def _shut(profile: InkZones) -> InkZones:
    """What the whole resource says, and every part says otherwise: who passes over parts gets no ink, not another's."""
    return replace(profile, shares=(0.0,) * len(profile.shares), height_mm=None, around=())


def _nest(
    above: ElementTree.Element, profiles: Sequence[tuple[InkZones, Mapping[str, str]]], keys: Sequence[str]
) -> None:
    """Parts inside parts, one key for each level; the settings stand in the innermost."""
    if not keys:
        above.attrib.update(_settings(profiles[0][0]))
        return
    for value in dict.fromkeys(part[keys[0]] for _, part in profiles):
        inside = ElementTree.SubElement(above, PROFILE, {keys[0]: value})
        _nest(inside, [pair for pair in profiles if pair[1][keys[0]] == value], keys[1:])


def _number(value: float) -> str:
    """Six decimals without trailing noughts: never an exponent, which the schemas' readers may not take."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


def _written(ticket: ElementTree.Element) -> bytes:
    ElementTree.indent(ticket)
    return bytes(ElementTree.tostring(ticket, encoding="utf-8", xml_declaration=True)) + b"\n"
