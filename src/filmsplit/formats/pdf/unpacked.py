"""The data of a stream, unpacked no further than a limit: small files can stand for very large ones."""

from __future__ import annotations

import zlib
from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Stream

from filmsplit.formats.pdf.malformed import Malformed

PICTURE_FILTERS = frozenset({"/DCTDecode", "/JPXDecode", "/CCITTFaxDecode", "/JBIG2Decode"})
SHORT = {
    "/AHx": "/ASCIIHexDecode",
    "/A85": "/ASCII85Decode",
    "/LZW": "/LZWDecode",
    "/Fl": "/FlateDecode",
    "/RL": "/RunLengthDecode",
    "/CCF": "/CCITTFaxDecode",
    "/DCT": "/DCTDecode",
}
"""Names in inline pictures (ISO 32000-2, table 92)."""
GROWTH = {"/LZWDecode": 1400, "/RunLengthDecode": 64, "/ASCIIHexDecode": 1, "/ASCII85Decode": 4}
"""How many bytes one byte can become at most: a code of 12 bits stands for 4 096 at the very most, "z" for four."""
END_OF_RUNS = 128
MOST_UNKNOWN = 1 << 30
"""Bytes it might become, where that can not be found out without unpacking it."""
CHUNK = 1 << 20
STEP, SMALL_STEP = 1 << 16, 1 << 8
TOO_MUCH = "a stream with more data than is ever needed"
MOST_FILTERS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """Data with the filter of pictures that is still on it; an empty name where there is none."""

    data: bytes
    filter: str = ""
    parameters: Object | None = None


Filters = list[tuple[str, Object | None]]


def filters_of(stream: Stream) -> Filters:
    """The filters of a stream in the order in which they are undone, each with its parameters."""
    named = stream.get("/Filter", stream.get("/F"))
    told = stream.get("/DecodeParms", stream.get("/DP"))
    names = list(named) if isinstance(named, Array) else [named] if isinstance(named, Name) else []
    parameters = list(told) if isinstance(told, Array) else [told]
    if len(names) > MOST_FILTERS:
        raise Malformed("too many filters")
    parameters += [None] * (len(names) - len(parameters))
    return [
        (SHORT.get(str(name), str(name)), each if isinstance(each, Dictionary) else None)
        for name, each in zip(names, parameters, strict=False)
    ]


def unpacked(stream: Stream, *, most: int) -> bytes:
    """All of the data of a stream. Raises ``Malformed`` where it is packed as a picture or more than ``most`` bytes."""
    found = packed(stream, most=most)
    if found.filter:
        raise Malformed("data packed as a picture")
    return found.data


def packed(stream: Stream, *, most: int) -> Packed:
    """The data of a stream, unpacked up to a filter of pictures. Raises ``Malformed``."""
    data = raw_bytes(stream)
    for name, parameters in filters_of(stream):
        if name in PICTURE_FILTERS:
            return Packed(data=data, filter=name, parameters=parameters)
        data = _undone(data, name, parameters=parameters, most=most)
    if len(data) > most:
        raise Malformed(TOO_MUCH, is_too_much=True)
    return Packed(data=data)


def raw_bytes(stream: Stream) -> bytes:
    """The data of a stream as they stand in the file. Raises ``Malformed``."""
    try:
        return stream.read_raw_bytes()
    except (pikepdf.PdfError, RuntimeError, ValueError) as error:
        raise Malformed("a stream that can not be read") from error


def is_plain_flate(name: str, parameters: Object | None) -> bool:
    """Deflated, with no prediction of dots from their neighbours."""
    return name == "/FlateDecode" and (parameters is None or int(parameters.get("/Predictor", 1)) <= 1)


def _undone(data: bytes, name: str, *, parameters: Object | None, most: int) -> bytes:
    if name == "/Crypt":
        return data
    if is_plain_flate(name, parameters):
        return _inflated(data, most)
    if name == "/FlateDecode":
        if _inflates_beyond(data, most):
            raise Malformed(TOO_MUCH, is_too_much=True)
    elif name not in GROWTH:
        raise Malformed(f"an unknown filter {name[:40]}")
    elif _grows_beyond(data, name, parameters, most=most):
        raise Malformed(TOO_MUCH, is_too_much=True)
    return _by_library(data, name, parameters)


def _grows_beyond(data: bytes, name: str, parameters: Object | None, *, most: int) -> bool:
    """Whether it becomes more than so many bytes; where only unpacking could tell, whether it might be far more."""
    possible = len(data) * GROWTH[name]
    if possible <= most:
        return False
    if name == "/RunLengthDecode":
        return _runs(data, most) > most
    if name != "/LZWDecode":
        return possible > 16 * most
    if parameters is not None and int(parameters.get("/EarlyChange", 1)) != 1:
        return possible > MOST_UNKNOWN
    from imagecodecs import lzw_decode  # noqa: PLC0415  # heavy

    try:
        return len(lzw_decode(data, out=min(most + 1, possible))) > most
    except (RuntimeError, ValueError):
        return possible > MOST_UNKNOWN


def _runs(data: bytes, most: int) -> int:
    """Bytes that runs become (ISO 32000-2, 7.4.5); some number above ``most`` where it is more."""
    at, total = 0, 0
    while at < len(data) and total <= most and data[at] != END_OF_RUNS:
        length = data[at]
        total += length + 1 if length < END_OF_RUNS else 257 - length
        at += length + 2 if length < END_OF_RUNS else 2
    return total


def _inflated(data: bytes, most: int) -> bytes:
    """What can be had of it: streams cut short or damaged are drawn as far as they go."""
    try:
        found = zlib.decompressobj().decompress(data, most + 1)
    except zlib.error:
        found = _inflated_in_parts(data, most)
    if len(found) > most:
        raise Malformed(TOO_MUCH, is_too_much=True)
    return found


def _inflated_in_parts(data: bytes, most: int) -> bytes:
    unpacker, parts, total = zlib.decompressobj(), [], 0
    try:
        for at in range(0, len(data), SMALL_STEP):
            parts.append(unpacker.decompress(unpacker.unconsumed_tail + data[at : at + SMALL_STEP], CHUNK))
            total += len(parts[-1])
            if total > most:
                break
    except zlib.error:
        if not total:
            raise Malformed("data that can not be unpacked") from None
    return b"".join(parts)


def _inflates_beyond(data: bytes, most: int) -> bool:
    """Whether it becomes more than so many bytes, of which few are held."""
    unpacker, total = zlib.decompressobj(), 0
    try:
        for at in range(0, len(data), STEP):
            rest = data[at : at + STEP]
            while rest:
                total += len(unpacker.decompress(rest, CHUNK))
                rest = unpacker.unconsumed_tail
                if total > most:
                    return True
    except zlib.error:
        return False
    return False


def _by_library(data: bytes, name: str, parameters: Object | None) -> bytes:
    """One filter undone by the PDF library."""
    with pikepdf.new() as scratch:
        stream = Stream(scratch, data, {"/Filter": Name(name)})
        if parameters is not None:
            kept = {key: int(value) for key, value in parameters.items() if isinstance(value, int)}
            stream["/DecodeParms"] = Dictionary(kept)
        try:
            return stream.read_bytes(pikepdf.StreamDecodeLevel.specialized)
        except (pikepdf.PdfError, RuntimeError, ValueError) as error:
            raise Malformed("data that can not be unpacked") from error
