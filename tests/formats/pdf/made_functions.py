"""Functions of a PDF, made for the tests."""

from __future__ import annotations

from typing import Any

import numpy as np
import pikepdf
from pikepdf import Array, Dictionary, Name, Stream

PDF = pikepdf.new()
"""Owns the streams."""


def stream(data: bytes, **entries: Any) -> Stream:
    made = PDF.make_stream(data)
    for key, value in entries.items():
        made[f"/{key}"] = value
    return made


def program(text: str, inputs: int, outputs: int, *, most: float = 1000.0) -> Stream:
    """A calculator function of wide bounds."""
    return stream(text.encode(), FunctionType=4, Domain=[-most, most] * inputs, Range=[-most, most] * outputs)


def table(samples: list[int], sizes: list[int], **entries: Any) -> Stream:
    """A sampled function; ``bits`` of each sample, most significant first, one behind the other."""
    bits = entries.pop("bits", 8)
    packed = "".join(format(each, f"0{bits}b") for each in samples)
    packed += "0" * (-len(packed) % 8)
    data = bytes(int(packed[at : at + 8], 2) for at in range(0, len(packed), 8))
    told = {"Domain": [0, 1] * len(sizes), "Range": [0, 1], "Size": sizes, "BitsPerSample": bits, **entries}
    return stream(data, FunctionType=0, **told)


def power(low: list[float], high: list[float], exponent: float = 1, **entries: Any) -> Dictionary:
    return Dictionary(FunctionType=2, Domain=[0, 1], C0=low, C1=high, N=exponent, **entries)


def stitched(parts: list[Any], bounds: list[float], encode: list[float], domain: tuple[float, float] = (0, 1)) -> Any:
    return Dictionary(
        FunctionType=3, Domain=list(domain), Functions=Array(parts), Bounds=Array(bounds), Encode=Array(encode)
    )


def column(*values: float) -> np.ndarray[Any, Any]:
    return np.array(values, dtype=np.float64)[:, None]


IDENTITY = Name.Identity
