"""Functions of type 4: small programs on a stack of numbers (ISO 32000-2, 7.10.5)."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from pikepdf import Stream

from filmsplit.formats.pdf.calculator_stack import Diverged, Entry, Stack
from filmsplit.formats.pdf.calculator_words import WORDS
from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.unpacked import unpacked

MOST_BYTES = 1 << 18
MOST_WORDS = 20_000
"""Of one program (invented; those of drawing programs have some hundreds)."""
MOST_NESTED = 32
MOST_ONE_BY_ONE = 20_000_000
"""Words that are run where samples take different ways (invented)."""
TOKEN = re.compile(rb"%[^\r\n]*|[{}]|[^\s{}%\x00]+")
NUMBER = re.compile(rb"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
RADIX = re.compile(rb"(\d{1,2})#([0-9A-Za-z]+)")

Program = tuple["Entry | str | Program", ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculator:
    """A program, read and ready to run."""

    program: Program
    words: int
    inputs: int
    outputs: int

    def __call__(self, values: Numbers) -> Numbers:
        try:
            return self._run(values)
        except Diverged:
            if len(values) * self.words > MOST_ONE_BY_ONE:
                raise Malformed("a program that takes too many ways") from None
            return np.concatenate([self._run(each[None]) for each in values])

    def _run(self, values: Numbers) -> Numbers:
        stack = Stack(count=len(values))
        for column in values.T:
            stack.push(Entry(numbers=column.astype(np.float64)))
        with np.errstate(all="ignore"):
            run(self.program, stack)
        found = stack.entries[-self.outputs :]
        if len(found) < self.outputs:
            raise Malformed("a program that leaves too little behind")
        out = np.stack([each.broadcast(len(values)) for each in found], axis=1)
        return np.nan_to_num(out, posinf=1e12, neginf=-1e12)


def run(program: Program, stack: Stack) -> None:
    """All words, in order. Raises ``Malformed``; ``Diverged`` where samples must be run one by one."""
    for word in program:
        if isinstance(word, Entry):
            stack.push(word)
        elif isinstance(word, tuple):
            stack.procedures.append(word)
        elif word == "if":
            _branch(stack, _procedure(stack), ())
        elif word == "ifelse":
            otherwise = _procedure(stack)
            _branch(stack, _procedure(stack), otherwise)
        else:
            WORDS[word](stack)


def _procedure(stack: Stack) -> Program:
    if not stack.procedures:
        raise Malformed("a branch without a procedure")
    return stack.procedures.pop()  # type: ignore[no-any-return]


def _branch(stack: Stack, then: Program, otherwise: Program) -> None:
    """Each sample goes its way; both ways must leave as much on the stack, else samples run one by one."""
    condition = stack.pop()
    if not condition.is_boolean:
        raise Malformed("a branch on what is not true or false")
    chosen = condition.broadcast(stack.count) != 0.0
    if chosen.all():
        run(then, stack)
    elif not chosen.any():
        run(otherwise, stack)
    else:
        first, second = stack.only(chosen), stack.only(~chosen)
        run(then, first)
        run(otherwise, second)
        stack.merge(chosen, first, other=second)


def calculator(described: Stream, *, inputs: int, outputs: int) -> Calculator:
    """The program of a stream. Raises ``Malformed``."""
    tokens = [each for each in TOKEN.findall(unpacked(described, most=MOST_BYTES)) if not each.startswith(b"%")]
    if len(tokens) > MOST_WORDS:
        raise Malformed("a program that is too long")
    if not tokens or tokens[0] != b"{":
        raise Malformed("a program that does not begin with a brace")
    program, end = _parsed(tokens, 1, depth=0)
    if end != len(tokens):
        raise Malformed("words behind the end of a program")
    return Calculator(program=program, words=len(tokens), inputs=inputs, outputs=outputs)


def _parsed(tokens: list[bytes], at: int, *, depth: int) -> tuple[Program, int]:
    """What stands up to the closing brace, and where it goes on."""
    if depth > MOST_NESTED:
        raise Malformed("procedures within procedures without end")
    made: list[Entry | str | Program] = []
    while at < len(tokens):
        token, at = tokens[at], at + 1
        if token == b"}":
            return tuple(made), at
        if token == b"{":
            inner, at = _parsed(tokens, at, depth=depth + 1)
            made.append(inner)
        else:
            made.append(_word(token))
    raise Malformed("a brace that is not closed")


def _word(token: bytes) -> Entry | str:
    if NUMBER.fullmatch(token):
        return Entry(numbers=np.array(max(-1e38, min(1e38, float(token)))))
    if token in (b"true", b"false"):
        return Entry(numbers=np.array(float(token == b"true")), is_boolean=True)
    if based := RADIX.fullmatch(token):
        return Entry(numbers=np.array(float(_in_radix(based[2].decode(), int(based[1])))))
    word = token.decode("latin-1")
    if word not in WORDS and word not in ("if", "ifelse"):
        raise Malformed(f"an unknown word {word[:20]}")
    return word


def _in_radix(digits: str, radix: int) -> int:
    try:
        return min(int(digits, radix), 2**31)
    except ValueError as error:
        raise Malformed("a number to no base") from error
