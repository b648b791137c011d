"""Tokens of the language job files of the CIP3 Print Production Format are written in: PostScript, of which only
numbers, names, strings and arrays are read, and nothing is ever carried out (PostScript Language Reference, 3.2)."""

from __future__ import annotations

import re
from dataclasses import dataclass

SPACE = b"\0\t\n\f\r "
MOST_NESTED = 32
MOST_TOKENS = 2_000_000
"""In one file, data apart (invented; job files have some thousand)."""
MOST_LENGTH = 65_535
"""Of a string or a name (the language's own bound for strings)."""
_SKIPPED = re.compile(rb"(?:[\0\t\n\f\r ]+|%[^\r\n]*)*")
_REGULAR = re.compile(rb"[^\0\t\n\f\r ()<>\[\]{}/%]*")
_NUMBER = re.compile(rb"[+-]?(?:\d{1,30}\.?\d{0,30}|\.\d{1,30})(?:[eE][+-]?\d{1,2})?")
_OPENS, _CLOSES = frozenset({b"[", b"{", b"<<"}), frozenset({b"]", b"}", b">>"})
_ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


class Broken(Exception):
    """What stands at ``at`` (in bytes from the beginning) is no token."""

    def __init__(self, at: int) -> None:
        self.at = at
        super().__init__(f"at byte {at}")


@dataclass(frozen=True, slots=True)
class Word:
    """A name that would be carried out."""

    name: str


@dataclass(frozen=True, slots=True)
class Name:
    """A name that stands for itself: ``/Name``."""

    name: str


Token = Word | Name | float | bytes | tuple["Token", ...]


@dataclass(slots=True)
class Scanner:
    """Reads on from ``at``. Whoever meets data among the tokens moves ``at`` behind them."""

    data: bytes
    at: int = 0
    _count: int = 0

    def next(self) -> Token | None:
        """The next token, an array as a tuple of its own; ``None`` at the end. Raises ``Broken``."""
        piece = self._piece()
        if piece is None or not isinstance(piece, bytes) or piece not in _OPENS | _CLOSES:
            return _whole(piece)
        if piece in _CLOSES:
            raise Broken(self.at)
        return self._array(0)

    def _array(self, depth: int) -> tuple[Token, ...]:
        """What stands up to the bracket that closes; the kinds of brackets are not told apart."""
        if depth >= MOST_NESTED:
            raise Broken(self.at)
        found: list[Token] = []
        while True:
            piece = self._piece()
            if piece is None:
                raise Broken(self.at)
            if isinstance(piece, bytes) and piece in _CLOSES:
                return tuple(found)
            if isinstance(piece, bytes) and piece in _OPENS:
                found.append(self._array(depth + 1))
                continue
            token = _whole(piece)
            assert token is not None
            found.append(token)

    def _piece(self) -> _Piece:
        """A token, or a bracket as bytes; strings come in a list of one, to be told from those."""
        self._count += 1
        if self._count > MOST_TOKENS:
            raise Broken(self.at)
        skipped = _SKIPPED.match(self.data, self.at)
        assert skipped is not None
        self.at = skipped.end()
        first = self.data[self.at : self.at + 1]
        if not first:
            return None
        if first in (b"(", b"<") and self.data[self.at : self.at + 2] != b"<<":
            return [self._text() if first == b"(" else self._hex()]
        if first in b"<>[]{}":
            return self._bracket(first)
        if first == b")":
            raise Broken(self.at)
        return self._name() if first == b"/" else self._regular()

    def _bracket(self, first: bytes) -> bytes:
        bracket = first * 2 if first in (b"<", b">") else first
        if not self.data.startswith(bracket, self.at):
            raise Broken(self.at)
        self.at += len(bracket)
        return bracket

    def _name(self) -> Name:
        self.at += 1
        return Name(self._letters())

    def _letters(self) -> str:
        found = _REGULAR.match(self.data, self.at)
        assert found is not None
        if len(found[0]) > MOST_LENGTH:
            raise Broken(self.at)
        self.at = found.end()
        return found[0].decode("latin-1")

    def _regular(self) -> Word | float:
        begin, letters = self.at, self._letters()
        if self.at == begin:
            raise Broken(begin)
        text = letters.encode("latin-1")
        return float(text) if _NUMBER.fullmatch(text) else Word(letters)

    def _hex(self) -> bytes:
        end = self.data.find(b">", self.at, self.at + 2 * MOST_LENGTH)
        if end < 0:
            raise Broken(self.at)
        digits = self.data[self.at + 1 : end].translate(None, SPACE)
        try:
            found = bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii"))
        except ValueError:
            raise Broken(self.at) from None
        self.at = end + 1
        return found

    def _text(self) -> bytes:
        """A string between round brackets, which may stand in it in pairs."""
        begin, deep, found = self.at, 0, bytearray()
        while True:
            char = self.data[self.at : self.at + 1]
            if not char or len(found) > MOST_LENGTH:
                raise Broken(begin)
            self.at += 1
            if char == b"\\":
                found += self._escaped()
                continue
            deep += (char == b"(") - (char == b")")
            if not deep:
                return bytes(found[1:])
            found += char

    def _escaped(self) -> bytes:
        octal = re.compile(rb"[0-7]{1,3}").match(self.data, self.at)
        if octal is not None:
            self.at = octal.end()
            return bytes([int(octal[0], 8) % 256])
        char = self.data[self.at : self.at + 1]
        self.at += 1
        if char == b"\r" and self.data[self.at : self.at + 1] == b"\n":
            self.at += 1
        return b"" if char in (b"\r", b"\n") else _ESCAPES.get(char, char)


_Piece = Word | Name | float | bytes | list[bytes] | None


def _whole(piece: _Piece) -> Token | None:
    return piece[0] if isinstance(piece, list) else piece
