"""What a text means in a field: numbers, yes and no, words of a closed list, free text.

Each reader returns the value, or a :class:`Fault` that names the message and what fills it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from typing import Any

from filmsplit.formats.press_fields import FieldShape, Kind
from filmsplit.formats.yaml_tree import FORBIDDEN, Scalar, code_point
from filmsplit.messages import label

MAX_TEXT = 2000
_NUMBER = re.compile(r"[-+]?(?:[0-9]{1,20}(?:\.[0-9]{0,20})?|\.[0-9]{1,20})(?:[eE][-+]?[0-9]{1,3})?")
_WHOLE = re.compile(r"[-+]?[0-9]{1,12}")
_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")
_WITH_UNIT = re.compile(r"(?!0[xo])([-+]?[0-9]+(?:[.,][0-9]+)?)\s*[A-Za-zµ°\"'%]+.*")
_NOT_FINITE = re.compile(r"[-+]?\.?(?:inf|nan|infinity)", re.IGNORECASE)
YES_NO: Mapping[str, bool] = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a text is not a value of its field."""

    slug: str
    values: Mapping[str, object] = dataclass_field(default_factory=dict)


def read_scalar(node: Scalar, shape: FieldShape) -> Any:
    """The value of ``node`` in the field ``shape``, or a :class:`Fault`."""
    if node.text == "" and shape.kind is not Kind.TEXT:
        return Fault("press-file-value-empty")
    return _READERS[shape.kind](node, shape)


def read_number(node: Scalar, shape: FieldShape) -> Any:
    """A number written as YAML 1.2 writes one, in the unit of the field, within its bounds."""
    if not node.plain or not _NUMBER.fullmatch(node.text):
        return _why_not_a_number(node, shape)
    value = float(node.text)
    if not math.isfinite(value):
        return Fault("press-file-not-finite", {"given": shown(node.text)})
    return _bounded(value, shape)


def _why_not_a_number(node: Scalar, shape: FieldShape) -> Fault:
    given: dict[str, object] = {"given": shown(node.text), "unit": shape.row.unit or "-"}
    if not node.plain and _NUMBER.fullmatch(node.text):
        return Fault("press-file-number-quoted", given)
    if _COMMA.fullmatch(node.text):
        return Fault("press-file-number-comma", given | {"better": node.text.replace(",", ".")[:40]})
    if _NOT_FINITE.fullmatch(node.text):
        return Fault("press-file-not-finite", given)
    with_unit = _WITH_UNIT.fullmatch(node.text)
    if with_unit is not None and shape.row.unit:
        return Fault("press-file-number-unit", given | {"better": with_unit.group(1).replace(",", ".")[:40]})
    return Fault("press-file-not-a-number", given)


def _read_whole(node: Scalar, shape: FieldShape) -> Any:
    if not node.plain or not _WHOLE.fullmatch(node.text):
        return Fault("press-file-not-whole", {"given": shown(node.text)})
    return _bounded(int(node.text), shape)


def _bounded(value: float, shape: FieldShape) -> Any:
    low, high = shape.row.low, shape.row.high
    if (low is not None and value < low) or (high is not None and value > high):
        unit = f" {shape.row.unit}" if shape.row.unit else ""
        return Fault(
            "press-file-out-of-range", {"given": f"{value:g}{unit}", "low": f"{low:g}{unit}", "high": f"{high:g}{unit}"}
        )
    return value


def _read_yes_no(node: Scalar, _shape: FieldShape) -> Any:
    if not node.plain or node.text not in YES_NO:
        return Fault("press-file-not-yes-or-no", {"given": shown(node.text)})
    return YES_NO[node.text]


def _read_word(node: Scalar, shape: FieldShape) -> Any:
    for word in shape.of:
        if word.value == node.text:
            return word
    words = ", ".join(shape.words)
    return Fault(
        "press-file-word-unknown",
        {"given": shown(node.text), "words": words, "hint": hint(node.text, shape.words)},
    )


def _read_text(node: Scalar, _shape: FieldShape) -> Any:
    if len(node.text) > MAX_TEXT:
        return Fault("press-file-text-too-long", {"length": len(node.text), "most": MAX_TEXT})
    odd = FORBIDDEN.search(node.text)
    if odd is not None:
        return Fault("press-file-text-control", {"code": code_point(odd.group())})
    return node.text


_READERS: Mapping[Kind, Callable[[Scalar, FieldShape], Any]] = {
    Kind.NUMBER: read_number,
    Kind.WHOLE: _read_whole,
    Kind.YES_NO: _read_yes_no,
    Kind.WORD: _read_word,
    Kind.TEXT: _read_text,
}


def nearest(given: str, known: Iterable[str]) -> str:
    """The known word nearest to a mistyped one; an empty text where none is near."""
    from difflib import get_close_matches  # noqa: PLC0415  (only needed once something is wrong)

    by_folded = {word.casefold(): word for word in known}
    found = get_close_matches(given[:80].casefold(), by_folded, n=1, cutoff=0.55)
    return by_folded[found[0]] if found else ""


def hint(given: str, known: Iterable[str]) -> str:
    """A sentence that offers the nearest known word; an empty text where none is near."""
    near = nearest(given, known)
    return label("press-file.hint", word=near) if near else ""


def shown(text: str) -> str:
    """A text as a message may quote it: one line, not too long."""
    line = " ".join(text.split())
    return line if len(line) <= 60 else f"{line[:57]}…"
