"""A guarded door for XML: elements and attributes only, of bounded length, depth and number.

A job ticket needs no document type, so none is taken: with it go entities that swell, entities that fetch files, and
everything else a document type can do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from xml.parsers import expat

from filmsplit.messages import Problem, Refusal

MOST_BYTES = 32 * 2**20
MOST_DEPTH = 100
MOST_ELEMENTS = 100_000
BETWEEN = "\x1f"
"""Put between namespace and name; XML cannot hold this character."""


@dataclass(frozen=True, slots=True)
class Element:
    """An element: namespace, name, attributes without a namespace, what it holds, and the line it begins on."""

    namespace: str
    name: str
    attributes: Mapping[str, str]
    line: int
    children: list[Element] = field(default_factory=list)


def parse_xml(data: bytes, *, name: str) -> Element:
    """The outermost element. Raises ``Refusal`` for anything but plain, well-formed XML of sensible size."""
    if len(data) > MOST_BYTES:
        raise Refusal(Problem("ticket-too-long", {"file": name, "most": MOST_BYTES // 2**20}))
    return _Guard(name).parse(data)


class _Guard:
    """The parser's handlers, each with its limit."""

    def __init__(self, name: str) -> None:
        self.name, self.elements = name, 0
        self.open: list[Element] = []
        self.outermost: Element | None = None
        self.parser = expat.ParserCreate(namespace_separator=BETWEEN)
        self.parser.StartElementHandler = self.begin
        self.parser.EndElementHandler = self.end
        self.parser.StartDoctypeDeclHandler = self.document_type

    def parse(self, data: bytes) -> Element:
        try:
            self.parser.Parse(data, True)
        except (expat.ExpatError, ValueError, LookupError) as error:  # the last two: an encoding nobody knows
            values = {"file": self.name, "line": self.parser.CurrentLineNumber}
            raise Refusal(Problem("ticket-not-xml", values)) from error
        if self.outermost is None:
            raise Refusal(Problem("ticket-not-xml", {"file": self.name, "line": 1}))
        return self.outermost

    def begin(self, full_name: str, attributes: Mapping[str, str]) -> None:
        self.elements += 1
        if self.elements > MOST_ELEMENTS or len(self.open) >= MOST_DEPTH:
            values = {"file": self.name, "deep": MOST_DEPTH, "elements": MOST_ELEMENTS}
            raise Refusal(Problem("ticket-too-deep", values))
        namespace, _, name = full_name.rpartition(BETWEEN)
        plain = {key: value for key, value in attributes.items() if BETWEEN not in key}
        element = Element(namespace, name, plain, self.parser.CurrentLineNumber)
        if self.open:
            self.open[-1].children.append(element)
        else:
            self.outermost = element
        self.open.append(element)

    def end(self, _: str) -> None:
        self.open.pop()

    def document_type(self, *_: object) -> None:
        raise Refusal(Problem("ticket-document-type", {"file": self.name}))
