"""Optional content: which layers of a PDF are printed (ISO 32000-2, 8.11)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Name

MOST_NESTED = 32
"""Depth of a visibility expression that is followed; a deeper one counts as shown."""
MOST_PARTS = 10_000
"""Of a visibility expression (invented): one that holds itself would never end."""


def _listed(array: object) -> Iterable[Dictionary]:
    return [each for each in array if isinstance(each, Dictionary)] if isinstance(array, Array) else []


@dataclass(slots=True)
class Layers:
    """Groups that are off in the default configuration of a document, as a printer sees it."""

    _off: frozenset[tuple[int, int]] = frozenset()

    @classmethod
    def of(cls, pdf: pikepdf.Pdf) -> Layers:
        """The layers of a document; everything is shown where it has none."""
        properties = pdf.Root.get("/OCProperties")
        if not isinstance(properties, Dictionary):
            return cls()
        groups = {each.objgen: each for each in _listed(properties.get("/OCGs"))}
        default = properties.get("/D", Dictionary())
        off = set(groups) if default.get("/BaseState") == Name.OFF else set()
        off -= {each.objgen for each in _listed(default.get("/ON"))}
        off |= {each.objgen for each in _listed(default.get("/OFF"))}
        for each in _listed(default.get("/AS")):
            if each.get("/Event") == Name.Print:
                off = _as_printed(off, _listed(each.get("/OCGs")))
        return cls(frozenset(off))

    def shown(self, content: pikepdf.Object | None) -> bool:
        """Whether what belongs to a group or a membership dictionary is printed."""
        if not isinstance(content, Dictionary):
            return True
        if content.get("/Type") == Name.OCMD or "/OCGs" in content or "/VE" in content:
            return self._member(content)
        return self._is_on(content)

    def _is_on(self, group: object) -> bool:
        return not isinstance(group, Dictionary) or group.objgen not in self._off

    def _member(self, content: Dictionary) -> bool:
        expression = content.get("/VE")
        if isinstance(expression, Array):
            return self._expressed(expression, 0, left=[MOST_PARTS])
        groups = content.get("/OCGs")
        states = [self._is_on(each) for each in ([groups] if isinstance(groups, Dictionary) else _listed(groups))]
        if not states:
            return True
        policy = str(content.get("/P", Name.AnyOn))
        ways = {"/AllOn": all(states), "/AnyOff": not all(states), "/AllOff": not any(states)}
        return ways.get(policy, any(states))

    def _expressed(self, expression: pikepdf.Object, depth: int, *, left: list[int]) -> bool:
        """``left`` parts more are looked at."""
        left[0] -= 1
        if not isinstance(expression, Array) or not len(expression) or depth > MOST_NESTED or left[0] < 0:
            return self._is_on(expression)
        way = str(expression[0])
        parts = [self._expressed(each, depth + 1, left=left) for each in list(expression)[1:]]
        if way == "/Not":
            return not (parts and parts[0])
        return any(parts) if way == "/Or" else all(parts)


def _as_printed(off: set[tuple[int, int]], groups: Iterable[Dictionary]) -> set[tuple[int, int]]:
    """The groups that are off once those with a state of their own for printing have it."""
    changed = set(off)
    for group in groups:
        state = group.get("/Usage", Dictionary()).get("/Print", Dictionary()).get("/PrintState")
        if state == Name.OFF:
            changed.add(group.objgen)
        elif state == Name.ON:
            changed.discard(group.objgen)
    return changed
