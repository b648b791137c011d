"""The words of calculator functions (ISO 32000-2, table 42), each over all samples at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from filmsplit.formats.pdf.calculator_stack import Entry, Stack
from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.malformed import Malformed

Word = Callable[[Stack], None]
WHOLE = 2.0**31


def _one(law: Callable[[Numbers], Numbers]) -> Word:
    def word(stack: Stack) -> None:
        stack.push(Entry(numbers=np.asarray(law(stack.number()), dtype=np.float64)))

    return word


def _two(law: Callable[[Numbers, Numbers], Numbers]) -> Word:
    def word(stack: Stack) -> None:
        second, first = stack.number(), stack.number()
        stack.push(Entry(numbers=np.asarray(law(first, second), dtype=np.float64)))

    return word


def _compare(law: Callable[[Numbers, Numbers], Numbers]) -> Word:
    def word(stack: Stack) -> None:
        second, first = stack.pop(), stack.pop()
        if first.is_boolean is not second.is_boolean:
            raise Malformed("two different kinds are compared")
        told = law(first.numbers, second.numbers)
        stack.push(Entry(numbers=np.asarray(told, dtype=np.float64), is_boolean=True))

    return word


def _bits(law: Callable[..., Numbers]) -> Word:
    """Bit by bit for whole numbers, once for what is true or false."""

    def word(stack: Stack) -> None:
        second, first = stack.pop(), stack.pop()
        if first.is_boolean is not second.is_boolean:
            raise Malformed("two different kinds are joined")
        told = law(_whole(first.numbers), _whole(second.numbers))
        stack.push(Entry(numbers=np.asarray(told, dtype=np.float64), is_boolean=first.is_boolean))

    return word


def _whole(numbers: Numbers) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
    return np.asarray(np.clip(np.nan_to_num(np.trunc(numbers)), -WHOLE, WHOLE - 1), dtype=np.int64)


def _not(stack: Stack) -> None:
    found = stack.pop()
    told = 1.0 - found.numbers if found.is_boolean else (~_whole(found.numbers)).astype(np.float64)
    stack.push(Entry(numbers=np.asarray(told), is_boolean=found.is_boolean))


def _shifted(numbers: Numbers, by: Numbers) -> Numbers:
    """To the left for positive shifts, as whole numbers of 32 bits."""
    places = np.clip(_whole(by), -32, 32)
    bits = _whole(numbers) & 0xFFFFFFFF
    moved = np.where(places >= 0, bits << np.maximum(places, 0), bits >> np.maximum(-places, 0)) & 0xFFFFFFFF
    return np.where(moved >= 2**31, moved - 2**32, moved).astype(np.float64)


def _divided(first: Numbers, second: Numbers) -> Numbers:
    """A division by nothing gives nothing: the standard calls it an error, and a page is still to be drawn."""
    return np.where(second == 0.0, 0.0, first / np.where(second == 0.0, 1.0, second))


def _angle(first: Numbers, second: Numbers) -> Numbers:
    return np.asarray(np.degrees(np.arctan2(first, second)) % 360.0)


def _remainder(first: Numbers, second: Numbers) -> Numbers:
    """With the sign of the first."""
    return np.where(second == 0.0, 0.0, np.fmod(np.trunc(first), np.where(second == 0.0, 1.0, np.trunc(second))))


def _logarithm(law: Callable[[Numbers], Numbers]) -> Callable[[Numbers], Numbers]:
    return lambda numbers: np.where(numbers > 0.0, law(np.where(numbers > 0.0, numbers, 1.0)), 0.0)


def _raised(base: Numbers, exponent: Numbers) -> Numbers:
    return np.nan_to_num(np.power(base, exponent), posinf=0.0, neginf=0.0)


def _constant(*, is_true: bool) -> Word:
    return lambda stack: stack.push(Entry(numbers=np.array(float(is_true)), is_boolean=True))


def _pop(stack: Stack) -> None:
    stack.pop()


def _exchange(stack: Stack) -> None:
    second, first = stack.pop(), stack.pop()
    stack.push(second)
    stack.push(first)


def _duplicate(stack: Stack) -> None:
    found = stack.pop()
    stack.push(found)
    stack.push(found)


def _copy(stack: Stack) -> None:
    count = stack.whole()
    if not 0 <= count <= len(stack.entries):
        raise Malformed("more is copied than there is")
    for each in stack.entries[len(stack.entries) - count :]:
        stack.push(each)


def _index(stack: Stack) -> None:
    depth = stack.whole()
    if not 0 <= depth < len(stack.entries):
        raise Malformed("a place below the stack")
    stack.push(stack.entries[-1 - depth])


def _roll(stack: Stack) -> None:
    by, count = stack.whole(), stack.whole()
    if not 0 <= count <= len(stack.entries):
        raise Malformed("more is rolled than there is")
    if count:
        start = len(stack.entries) - count
        rolled = stack.entries[start:]
        by %= count
        stack.entries[start:] = rolled[count - by :] + rolled[: count - by]


WORDS: dict[str, Word] = {
    "abs": _one(np.abs),
    "add": _two(np.add),
    "atan": _two(_angle),
    "ceiling": _one(np.ceil),
    "cos": _one(lambda degrees: np.cos(np.radians(degrees))),
    "cvi": _one(np.trunc),
    "cvr": _one(lambda numbers: numbers),
    "div": _two(_divided),
    "exp": _two(_raised),
    "floor": _one(np.floor),
    "idiv": _two(lambda first, second: np.trunc(_divided(np.trunc(first), np.trunc(second)))),
    "ln": _one(_logarithm(np.log)),
    "log": _one(_logarithm(np.log10)),
    "mod": _two(_remainder),
    "mul": _two(np.multiply),
    "neg": _one(np.negative),
    "round": _one(lambda numbers: np.floor(numbers + 0.5)),
    "sin": _one(lambda degrees: np.sin(np.radians(degrees))),
    "sqrt": _one(lambda numbers: np.sqrt(np.maximum(numbers, 0.0))),
    "sub": _two(np.subtract),
    "truncate": _one(np.trunc),
    "and": _bits(np.bitwise_and),
    "bitshift": _two(_shifted),
    "eq": _compare(np.equal),
    "ge": _compare(np.greater_equal),
    "gt": _compare(np.greater),
    "le": _compare(np.less_equal),
    "lt": _compare(np.less),
    "ne": _compare(np.not_equal),
    "not": _not,
    "or": _bits(np.bitwise_or),
    "xor": _bits(np.bitwise_xor),
    "true": _constant(is_true=True),
    "false": _constant(is_true=False),
    "copy": _copy,
    "dup": _duplicate,
    "exch": _exchange,
    "index": _index,
    "pop": _pop,
    "roll": _roll,
}
