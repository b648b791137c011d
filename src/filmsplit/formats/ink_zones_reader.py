"""Ink-zone profiles of job tickets: JDF 1.x and XJDF 2.x, as their schemas define ``InkZoneProfile``.

Source: CIP4, JDF Specification 1.x and XJDF Specification 2.x, resource InkZoneProfile, and their public schemas.
Lengths are in points. In JDF a resource is split into parts that inherit what their parents say; in XJDF each part
stands in a set with a ``Part`` beside it. Only these words of the standard are known here; everything else in a ticket
is passed by.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from filmsplit.artwork import CoverageMap, Source, Step, StepKind, zone_map
from filmsplit.artwork.coverage import edges_of
from filmsplit.formats.coverage_limits import LONGEST_MM
from filmsplit.formats.ink_zones_xml import Element, parse_xml
from filmsplit.formats.xml_tokens import from_token
from filmsplit.messages import Problem, Refusal, label

JDF = "http://www.CIP4.org/JDFSchema_1_1"
XJDF = "http://www.CIP4.org/JDFSchema_2_0"
PROFILE = "InkZoneProfile"
MM_PER_POINT = 25.4 / 72
MOST_ZONES = 500
NOT_IN_XJDF = "FountainPositions"


@dataclass(frozen=True, slots=True, kw_only=True)
class InkZones:
    """One profile: shares 0 to 1 by zone, zone width, and what the ticket says of the part. ``around`` are the settings
    the other way (``ZoneSettingsY``), kept but not used: they say how zones share, not where image lies.
    """

    ink: str
    shares: tuple[float, ...]
    zone_mm: float
    height_mm: float | None
    around: tuple[float, ...]
    part: Mapping[str, str]

    def coverage(self, *, round_mm: float, file: str, first_mm: float = 0.0) -> CoverageMap:
        """The map of these zones, even round the cylinder; the first zone begins ``first_mm`` from operator's side."""
        zones = zone_map(
            self.shares,
            edges_of([self.zone_mm] * len(self.shares), first_mm),
            round_mm=round_mm,
            ink=self.ink,
            source=Source(file=file, kind=label("artwork.ticket")),
        )
        step = Step(StepKind.TICKET, {"zones": len(self.shares), "width_mm": f"{self.zone_mm:.6g}"})
        return zones.changed(step)


def read_ink_zones(path: Path) -> tuple[InkZones, ...]:
    """Every ink-zone profile of a job ticket. Raises ``Refusal`` with everything that is wrong in any of them."""
    try:
        with path.open("rb") as file:
            data = file.read(2**26)
    except OSError as error:
        raise Refusal(Problem("file-not-readable", {"file": str(path), "detail": error.strerror or ""})) from error
    return ink_zones_of(data, name=str(path))


def ink_zones_of(data: bytes, *, name: str) -> tuple[InkZones, ...]:
    """The profiles in the bytes of a ticket; ``name`` is for the messages."""
    outermost = parse_xml(data, name=name)
    if outermost.namespace not in (JDF, XJDF):
        raise Refusal(Problem("ticket-other-standard", {"file": name, "element": outermost.name}))
    reader = _Ticket(name, outermost.namespace, [])
    found = tuple(reader.profiles(outermost))
    if not found and not reader.problems:
        reader.problems.append(Problem("ticket-without-zones", {"file": name}))
    if reader.problems:
        raise Refusal(reader.problems)
    return found


@dataclass(slots=True)
class _Ticket:
    """A ticket while it is read: its namespace, and what is wrong so far."""

    name: str
    namespace: str
    problems: list[Problem]

    def profiles(self, outermost: Element) -> Iterator[InkZones]:
        """Every profile, in the order of the file, without recursion: tickets nest deeply."""
        waiting = [outermost]
        while waiting:
            element = waiting.pop()
            if self._is_profile(element):
                yield from self._jdf(element, {})
            elif element.name == "Resource" and self.namespace == XJDF:
                yield from self._xjdf(element)
            else:
                waiting += reversed(element.children)

    def _is_profile(self, element: Element) -> bool:
        return element.name == PROFILE and element.namespace == self.namespace

    def _jdf(self, element: Element, inherited: Mapping[str, str]) -> Iterator[InkZones]:
        """A part and the parts inside it: what is not said inside is inherited."""
        said = {**inherited, **element.attributes}
        inside = [child for child in element.children if self._is_profile(child)]
        if not inside:
            yield from self._profile(said, element.line)
        for child in inside:
            yield from self._jdf(child, said)

    def _xjdf(self, resource: Element) -> Iterator[InkZones]:
        part: dict[str, str] = {}
        for child in resource.children:
            if child.name == "Part":
                part |= {key: from_token(value) for key, value in child.attributes.items()}
        for child in resource.children:
            if self._is_profile(child):
                yield from self._profile({**part, **child.attributes}, child.line)

    def _profile(self, said: Mapping[str, str], line: int) -> Iterator[InkZones]:
        """The profile these attributes make, if they do."""
        before = len(self.problems)
        if self.namespace == XJDF and NOT_IN_XJDF in said:
            self._wrong("ticket-not-in-this-version", line, attribute=NOT_IN_XJDF)
        shares = self._numbers(said, "ZoneSettingsX", line=line)
        width = self._numbers(said, "ZoneWidth", line=line)
        around = self._numbers(said, "ZoneSettingsY", line=line, needed=False)
        height = self._numbers(said, "ZoneHeight", line=line, needed=False)
        for attribute, settings in (("ZoneSettingsX", shares), ("ZoneSettingsY", around)):
            if len(settings) > MOST_ZONES or any(not 0 <= share <= 1 for share in settings):
                self._wrong("ticket-value-wrong", line, attribute=attribute, value=said[attribute][:60])
        for attribute, length in (("ZoneWidth", width), ("ZoneHeight", height)):
            if length and (len(length) > 1 or not 0 < length[0] * MM_PER_POINT <= LONGEST_MM):
                self._wrong("ticket-value-wrong", line, attribute=attribute, value=said[attribute][:60])
        if len(self.problems) > before:
            return
        yield InkZones(
            ink=said.get("Separation", label("artwork.page", page=1)),
            shares=shares,
            zone_mm=width[0] * MM_PER_POINT,
            height_mm=height[0] * MM_PER_POINT if height else None,
            around=around,
            part={key: said[key] for key in ("SignatureName", "SheetName", "Side", "Separation") if key in said},
        )

    def _numbers(self, said: Mapping[str, str], attribute: str, *, line: int, needed: bool = True) -> tuple[float, ...]:
        """The numbers of an attribute; none where it is missing or holds something else, which is told."""
        text = said.get(attribute, "")
        if not text.split():
            if needed or attribute in said:
                self._wrong("ticket-attribute-missing", line, attribute=attribute)
            return ()
        try:
            numbers = tuple(float(each) for each in text.split())
        except ValueError:
            numbers = (math.nan,)
        if not all(math.isfinite(each) for each in numbers):
            self._wrong("ticket-value-wrong", line, attribute=attribute, value=text[:60])
            return ()
        return numbers

    def _wrong(self, slug: str, line: int, **values: object) -> None:
        self.problems.append(Problem(slug, {"file": self.name, "line": line, **values}))
