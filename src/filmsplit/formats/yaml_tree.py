"""A press file as a tree of texts with their places: the part of YAML 1.2 that a press file may use, and no more.

The events of the C parser are put together here without recursion, so size, depth and count are bounded before
anything is built. Values stay texts; what a text means depends on the field it fills (see ``scalars``), so the old
surprises of YAML (``no`` read as a boolean, ``1_000``, sexagesimal numbers) cannot arise.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, NoReturn

from yaml import MarkedYAMLError, YAMLError
from yaml.cyaml import CParser  # type: ignore[attr-defined]  # the stubs leave it out

from filmsplit.messages import Place, Problem, Refusal

MAX_BYTES = 1_000_000
MAX_DEPTH = 24
MAX_NODES = 100_000

# C0 and C1 controls but tab and line ends; surrogates; separators some editors count as a line end and others do not;
# marks that reverse the direction of writing, so that a line would read otherwise than it is.
FORBIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufeff\ufffe\uffff]"
)


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a text: line and column counted from 1, index from 0."""

    line: int
    column: int
    index: int


@dataclass(slots=True)
class Scalar:
    """A single value as written. ``plain`` means without quotes. ``end`` is the index just after it."""

    text: str
    plain: bool
    spot: Spot
    end: int


@dataclass(slots=True)
class Entry:
    """A key and its value."""

    key: Scalar
    value: Node


@dataclass(slots=True)
class Mapping:
    """Keys with values. ``flow`` means written in braces."""

    spot: Spot
    flow: bool
    entries: dict[str, Entry] = field(default_factory=dict)
    end: int = 0
    pending: Scalar | None = None


@dataclass(slots=True)
class Sequence:
    """A list. ``flow`` means written in brackets."""

    spot: Spot
    flow: bool
    items: list[Node] = field(default_factory=list)
    end: int = 0


Node = Scalar | Mapping | Sequence


def parse(text: str, name: str) -> Node:
    """The tree of ``text``. Raises :class:`Refusal` for what is not plain, bounded YAML."""
    _check_characters(text, name)
    return _Composer(name).compose(text)


def check_size(size: int, name: str) -> None:
    """Refuse what is too long to be a press file before looking at it."""
    if size > MAX_BYTES:
        raise Refusal(
            Problem("press-file-too-long", {"megabytes": size / 1e6, "most": MAX_BYTES / 1e6}, place=Place(name, 1, 1))
        )


def _check_characters(text: str, name: str) -> None:
    found = FORBIDDEN.search(text)
    if found is not None:
        code = code_point(found.group())
        raise Refusal(
            Problem("press-file-control-character", {"code": code}, place=place_of(text, found.start(), name))
        )


def code_point(character: str) -> str:
    """How an invisible character is named in a message."""
    return f"U+{ord(character):04X}"


def place_of(text: str, index: int, name: str) -> Place:
    """Line and column of a character."""
    before = text[:index].replace("\r\n", "\n").replace("\r", "\n")
    return Place(name, before.count("\n") + 1, len(before) - before.rfind("\n"))


class _Composer:
    """Puts the parser's events together, with the open collections on a stack of our own."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.nodes = 0
        self.documents = 0
        self.open: list[Mapping | Sequence] = []
        self.problems: list[Problem] = []
        self.root: Node | None = None

    def compose(self, text: str) -> Node:
        try:
            parser = CParser(text)
            while parser.check_event():
                self.take(parser.get_event())
        except MarkedYAMLError as error:
            raise Refusal([*self.problems, self._syntax(error, text)]) from error
        except YAMLError as error:
            raise Refusal(
                [*self.problems, Problem("press-file-not-yaml", {"detail": str(error)}, place=self._at(Spot(1, 1, 0)))]
            ) from error
        if self.root is None:
            self.problems.append(Problem("press-file-empty", place=self._at(Spot(1, 1, 0))))
        if self.problems or self.root is None:
            raise Refusal(self.problems)
        return self.root

    def take(self, event: Any) -> None:
        """One event of the parser."""
        spot = _spot(event)
        kind = type(event).__name__
        if kind == "DocumentStartEvent":
            self._document(spot)
        elif kind == "AliasEvent":
            self._stop("press-file-anchor", spot)
        elif kind in ("SequenceEndEvent", "MappingEndEvent"):
            self.open.pop().end = event.end_mark.index
        elif kind in ("ScalarEvent", "SequenceStartEvent", "MappingStartEvent"):
            self._node(event, kind=kind, spot=spot)

    def _document(self, spot: Spot) -> None:
        self.documents += 1
        if self.documents > 1:
            self._stop("press-file-several-documents", spot)

    def _node(self, event: Any, *, kind: str, spot: Spot) -> None:
        if event.anchor is not None:
            self._stop("press-file-anchor", spot)
        if event.tag is not None:
            self._stop("press-file-tag", spot)
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self._stop("press-file-too-many-values", spot, most=MAX_NODES)
        node = _node_of(event, kind, spot)
        self._place(node)
        if not isinstance(node, Scalar):
            self.open.append(node)
            if len(self.open) > MAX_DEPTH:
                self._stop("press-file-too-deep", spot, most=MAX_DEPTH)

    def _place(self, node: Node) -> None:
        """Put a finished scalar or a fresh collection where it belongs."""
        if not self.open:
            self.root = node
            return
        holder = self.open[-1]
        if isinstance(holder, Sequence):
            holder.items.append(node)
        elif holder.pending is None:
            self._key(holder, node)
        else:
            holder.entries.setdefault(holder.pending.text, Entry(holder.pending, node))
            holder.pending = None

    def _key(self, holder: Mapping, node: Node) -> None:
        if not isinstance(node, Scalar):
            self._stop("press-file-key-not-a-word", node.spot)
        first = holder.entries.get(node.text)
        if first is not None:
            values = {"key": node.text, "line": first.key.spot.line}
            self.problems.append(Problem("press-file-key-twice", values, place=self._at(node.spot)))
        holder.pending = node

    def _stop(self, slug: str, spot: Spot, **values: object) -> NoReturn:
        raise Refusal([*self.problems, Problem(slug, values, place=self._at(spot))])

    def _at(self, spot: Spot) -> Place:
        return Place(self.name, spot.line, spot.column)

    def _syntax(self, error: Any, text: str) -> Problem:
        mark = error.problem_mark or error.context_mark
        spot = Spot(mark.line + 1, mark.column + 1, mark.index) if mark is not None else Spot(1, 1, 0)
        if text[spot.index : spot.index + 1] == "\t":
            return Problem("press-file-tab", place=self._at(spot))
        return Problem("press-file-not-yaml", {"detail": error.problem or ""}, place=self._at(spot))


def _spot(event: Any) -> Spot:
    mark = event.start_mark
    return Spot(mark.line + 1, mark.column + 1, mark.index)


def _node_of(event: Any, kind: str, spot: Spot) -> Node:
    if kind == "ScalarEvent":
        return Scalar(event.value, event.style in (None, ""), spot, event.end_mark.index)
    flow = bool(event.flow_style)
    return Sequence(spot, flow) if kind == "SequenceStartEvent" else Mapping(spot, flow)
