"""Change a text in one place and leave every other character, comments and blank lines too, as it was."""

from __future__ import annotations

import re
from collections.abc import Sequence as SequenceOf

from filmsplit.formats.yaml_tree import Entry, Mapping, Node, Scalar, Sequence

_AFTER_KEY = re.compile(r"[ \t]*:")


def content_end(node: Node) -> int:
    """The index just after the last character that belongs to ``node``.

    The parser ends a block only where the next thing begins; comments in between belong to neither.
    """
    if isinstance(node, Scalar) or node.flow:
        return node.end
    if isinstance(node, Sequence):
        return content_end(node.items[-1])
    last = list(node.entries.values())[-1]
    return max(content_end(last.value), last.key.end + 1)


def replace_value(text: str, entry: Entry, written: str) -> str:
    """``entry`` with another value."""
    start = _after_colon(text, entry.key)
    old = entry.value
    if isinstance(old, Scalar) or old.flow:
        empty = isinstance(old, Scalar) and old.end == old.spot.index
        return (
            _cut(text, start, start, written=f" {written}")
            if empty
            else _cut(text, old.spot.index, _stripped_end(text, old), written=written)
        )
    return _cut(text, start, _stripped_end(text, old), written=f" {written}")


def insert_entry(text: str, mapping: Mapping, line: str, *, after: str | None) -> str:
    """A new entry in ``mapping``, behind the entry called ``after`` (or behind the last)."""
    entries = mapping.entries
    if mapping.flow:
        end = content_end(entries[after].value) if after in entries else mapping.spot.index + 1
        # {a, b: 1}: an entry without a value ends with its key
        end = max(end, entries[after].key.end) if after in entries else end
        before, behind = (", ", "") if after in entries else ("", ", " if entries else "")
        return _cut(text, end, end, written=before + line + behind)
    previous = entries[after] if after in entries else list(entries.values())[-1]
    indent = " " * (next(iter(entries.values())).key.spot.column - 1)
    end = max(_stripped_end(text, previous.value), _after_colon(text, previous.key))
    return insert_lines(text, end, [indent + line])


def append_items(text: str, entry: Entry, items: SequenceOf[SequenceOf[str]], *, indent: int) -> str:
    """More items at the end of the list of ``entry``. Lines of an item are written without indentation.

    ``indent`` is where the dashes go if the list is still empty.
    """
    old = entry.value
    if isinstance(old, Sequence) and old.items and not old.flow:
        lines = _dashed(items, old.spot.column - 1)
        return insert_lines(text, _stripped_end(text, old), lines)
    start = _after_colon(text, entry.key)
    text = _cut(text, start, max(start, _stripped_end(text, old)), written="")
    return insert_lines(text, start, _dashed(items, indent))


def _dashed(items: SequenceOf[SequenceOf[str]], indent: int) -> list[str]:
    margin = " " * indent
    return [margin + ("- " if number == 0 else "  ") + line for item in items for number, line in enumerate(item)]


def insert_lines(text: str, index: int, lines: SequenceOf[str]) -> str:
    """Whole lines below the line of ``index``, with the line ends the text uses."""
    newline = "\r\n" if "\r\n" in text else "\n"
    end = text.find("\n", index)
    if end < 0:
        return text + newline + newline.join(lines) + newline
    return text[: end + 1] + "".join(line + newline for line in lines) + text[end + 1 :]


def _after_colon(text: str, key: Scalar) -> int:
    found = _AFTER_KEY.match(text, key.end)
    return found.end() if found else key.end


def _stripped_end(text: str, node: Node) -> int:
    """Block texts (| and >) end at the next line; what counts is their last line."""
    start = node.spot.index
    return start + len(text[start : content_end(node)].rstrip())


def _cut(text: str, start: int, end: int, *, written: str) -> str:
    return text[:start] + written + text[end:]
