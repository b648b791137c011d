"""Functions of a PDF (ISO 32000-2, 7.10): numbers in, numbers out, over many samples at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from pikepdf import Array, Name, Object, Stream

from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.function_calculator import Calculator, calculator
from filmsplit.formats.pdf.function_samples import Samples, samples
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import dictionary_of, items_of, number_of, numbers_of, pairs_of, whole_of

MOST_NESTED = 8
"""Functions of functions that are followed (invented; drawing programs nest two deep)."""
MOST_PARTS = 4096
"""Functions a function is put together from, of all depths (invented)."""


class Function(Protocol):
    """``(n, inputs)`` to ``(n, outputs)``. Inputs outside of the domain are taken to its edge."""

    @property
    def inputs(self) -> int: ...
    @property
    def outputs(self) -> int: ...
    def __call__(self, values: Numbers) -> Numbers: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Exponential:
    """Type 2: between two sets of numbers, by a power of the one input (7.10.3)."""

    low: Numbers
    high: Numbers
    exponent: float
    inputs: int = 1

    @property
    def outputs(self) -> int:
        return int(self.low.size)

    def __call__(self, values: Numbers) -> Numbers:
        with np.errstate(all="ignore"):
            raised = np.nan_to_num(np.power(values, self.exponent), posinf=0.0, neginf=0.0)
        return self.low + raised * (self.high - self.low)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stitched:
    """Type 3: one function for each stretch of the one input (7.10.4). ``edges`` has one more than there are parts."""

    parts: tuple[Function, ...]
    edges: Numbers
    encode: Numbers
    inputs: int = 1

    @property
    def outputs(self) -> int:
        return self.parts[0].outputs

    def __call__(self, values: Numbers) -> Numbers:
        at = values[:, 0]
        part = np.clip(np.searchsorted(self.edges[1:-1], at, side="right"), 0, len(self.parts) - 1)
        out = np.empty((at.size, self.outputs))
        for index in np.unique(part):
            chosen = part == index
            out[chosen] = self.parts[index](self._encoded(at[chosen], int(index))[:, None])
        return out

    def _encoded(self, at: Numbers, index: int) -> Numbers:
        low, high = self.edges[index : index + 2]
        first, last = self.encode[index]
        if high == low:
            return np.full_like(at, first)
        return np.asarray(first + (at - low) * (last - first) / (high - low), dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounded:
    """A function within its domain and range."""

    function: Function
    domain: Numbers
    range: Numbers | None

    @property
    def inputs(self) -> int:
        return len(self.domain)

    @property
    def outputs(self) -> int:
        return self.function.outputs

    def __call__(self, values: Numbers) -> Numbers:
        given = np.asarray(values, dtype=np.float64)
        if given.ndim != 2 or given.shape[1] != self.inputs:
            raise Malformed(f"a function of {self.inputs} inputs")
        out = self.function(np.clip(given, self.domain[:, 0], self.domain[:, 1]))
        return out if self.range is None else np.clip(out, self.range[:, 0], self.range[:, 1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Functions of the same inputs, their outputs side by side."""

    parts: tuple[Function, ...]

    @property
    def inputs(self) -> int:
        return self.parts[0].inputs

    @property
    def outputs(self) -> int:
        return sum(each.outputs for each in self.parts)

    def __call__(self, values: Numbers) -> Numbers:
        return np.concatenate([each(values) for each in self.parts], axis=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """What comes in goes out."""

    inputs: int = 1

    @property
    def outputs(self) -> int:
        return self.inputs

    def __call__(self, values: Numbers) -> Numbers:
        return values


@dataclass(slots=True)
class _Count:
    """Functions that were read, and how deep the one at hand lies."""

    read: int = 0


def function_of(described: Object) -> Function:
    """The function a PDF describes; an array of functions gives theirs side by side. Raises ``Malformed``."""
    return _function(described, 0, count=_Count())


def _function(described: Object, depth: int, *, count: _Count) -> Function:
    count.read += 1
    if depth > MOST_NESTED or count.read > MOST_PARTS:
        raise Malformed("functions of functions without end")
    if isinstance(described, Name) and described == Name.Identity:
        return Identity()
    if isinstance(described, Array):
        parts = [_function(each, depth + 1, count=count) for each in items_of(described, least=1, most=64)]
        return Joined(parts=_alike(parts))
    return _bounded(dictionary_of(described), depth, count=count)


def _bounded(described: Object, depth: int, *, count: _Count) -> Bounded:
    domain = pairs_of(described.get("/Domain"))
    bounds = pairs_of(described["/Range"]) if "/Range" in described else None
    if np.any(domain[:, 0] > domain[:, 1]) or domain.shape[0] > 32:
        raise Malformed("a domain that is none")
    made = _kind(described, depth, domain=domain, bounds=bounds, count=count)
    if made.inputs != domain.shape[0] or (bounds is not None and made.outputs != bounds.shape[0]):
        raise Malformed("a function whose domain or range has not as many parts as it takes or gives")
    return Bounded(function=made, domain=domain, range=bounds)


def _kind(described: Object, depth: int, *, domain: Numbers, bounds: Numbers | None, count: _Count) -> Function:
    kind = whole_of(described.get("/FunctionType"), least=0, most=4)
    if kind == 2:
        return _exponential(described)
    if kind == 3:
        return _stitched(described, depth, domain=domain, count=count)
    if bounds is None or not isinstance(described, Stream) or kind == 1:
        raise Malformed("a function without a range or data")
    return _from_stream(described, kind, domain=domain, bounds=bounds)


def _from_stream(described: Stream, kind: int, *, domain: Numbers, bounds: Numbers) -> Samples | Calculator:
    if kind == 0:
        return samples(described, domain=domain, bounds=bounds)
    return calculator(described, inputs=domain.shape[0], outputs=bounds.shape[0])


def _exponential(described: Object) -> Exponential:
    low = numbers_of(described["/C0"], least=1, most=64) if "/C0" in described else np.array([0.0])
    high = numbers_of(described["/C1"], least=1, most=64) if "/C1" in described else np.array([1.0])
    if low.size != high.size:
        raise Malformed("two ends of different length")
    return Exponential(low=low, high=high, exponent=number_of(described.get("/N")))


def _stitched(described: Object, depth: int, *, domain: Numbers, count: _Count) -> Stitched:
    parts = _alike(
        [
            _function(each, depth + 1, count=count)
            for each in items_of(described.get("/Functions"), least=1, most=MOST_PARTS)
        ]
    )
    bounds = numbers_of(described.get("/Bounds"), most=MOST_PARTS)
    edges = np.concatenate([domain[0, :1], bounds, domain[0, 1:]])
    if len(parts) != edges.size - 1 or np.any(np.diff(edges) < 0) or parts[0].inputs != 1 or domain.shape[0] != 1:
        raise Malformed("stretches that do not follow each other")
    return Stitched(parts=parts, edges=edges, encode=pairs_of(described.get("/Encode"), count=len(parts)))


def _alike(parts: Sequence[Function]) -> tuple[Function, ...]:
    if len({(each.inputs, each.outputs) for each in parts}) != 1:
        raise Malformed("functions that do not take and give alike")
    return tuple(parts)
