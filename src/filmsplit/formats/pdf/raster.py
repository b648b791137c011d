"""The samples of a picture, unpacked, a band of rows at a time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pikepdf import Object, Stream

from filmsplit.formats.pdf.inflating import Inflating
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import whole_of
from filmsplit.formats.pdf.picture_headers import Header, jpeg_header, jpx_header
from filmsplit.formats.pdf.unpacked import (
    PICTURE_FILTERS,
    Filters,
    Packed,
    filters_of,
    is_plain_flate,
    packed,
    raw_bytes,
)
from filmsplit.formats.tiff_fax import PROOF_ROWS, FaxDamaged, unpack_fax
from filmsplit.formats.tiff_layout import Packing

Samples = NDArray[np.uint8] | NDArray[np.uint16]
MOST_SIDE = 1 << 17
MOST_PIXELS = 1 << 28
"""Of one picture (invented): a sheet of 72 x 102 cm at 400 dots per inch has 182 million."""
MOST_BYTES = 3 << 29
"""Of one picture, unpacked."""
DEPTHS = (1, 2, 4, 8, 16)


@dataclass(frozen=True, slots=True, kw_only=True)
class Raster:
    """``data`` are samples in rows padded to bytes, which may still be deflated, or ``(height, width, components)``."""

    width: int
    height: int
    components: int
    bits: int
    data: bytes | Inflating | Samples

    def rows(self, start: int, stop: int) -> Samples:
        """``(rows, width, components)``, as they are stored."""
        if isinstance(self.data, np.ndarray):
            return self.data[start:stop]
        each = self.width * self.components
        stride = (each * self.bits + 7) // 8
        first, last = start * stride, stop * stride
        held = self.data.read(first, last) if isinstance(self.data, Inflating) else self.data[first:last]
        part = np.frombuffer(held, dtype=np.uint8)
        lines = _samples(part.reshape(stop - start, stride), self.bits)
        return lines[:, :each].reshape(stop - start, self.width, self.components)

    def note_end(self, ledger: Ledger) -> None:
        """To be called when all rows were read."""
        if isinstance(self.data, Inflating) and self.data.is_short:
            ledger.note("pdf-picture-cut-short")


def _samples(lines: NDArray[np.uint8], bits: int) -> Samples:
    """Bytes of whole lines to samples."""
    if bits == 8:
        return lines
    if bits == 16:
        return lines.view(">u2").astype(np.uint16)
    if bits == 1:
        return np.unpackbits(lines, axis=1)
    places = np.arange(8 - bits, -1, -bits, dtype=np.uint8)
    parts = (lines[:, :, None] >> places) & np.uint8(2**bits - 1)
    return parts.reshape(lines.shape[0], -1)


def size_of(image: Stream, ledger: Ledger) -> tuple[int, int]:
    """Width and height. Raises ``Malformed``."""
    width = whole_of(image.get("/Width"), least=1, most=1 << 31)
    height = whole_of(image.get("/Height"), least=1, most=1 << 31)
    refuse_bombs(width, height, ledger)
    return width, height


def refuse_bombs(width: int, height: int, ledger: Ledger) -> None:
    """Pictures larger than any sheet are not unpacked: refused by the ledger, and ``Malformed`` is raised."""
    if width * height > MOST_PIXELS or max(width, height) > MOST_SIDE:
        ledger.note("pdf-picture-too-large", width=width, height=height, most=MOST_PIXELS // 10**6)
        raise Malformed("a picture that is too large")


def raster(image: Stream, components: int, ledger: Ledger) -> Raster:
    """The samples of a picture that has so many components by its colour space, 0 where it does not tell. Raises
    ``Malformed``."""
    width, height = size_of(image, ledger)
    if (filters := filters_of(image)) and filters[-1][0] in PICTURE_FILTERS:
        return _by_filter(packed(image, most=MOST_BYTES), (width, height), ledger)
    bits = whole_of(image.get("/BitsPerComponent"), least=1, most=16)
    if bits not in DEPTHS or not components:
        raise Malformed("samples of no known depth")
    needed = (width * components * bits + 7) // 8 * height
    if needed > MOST_BYTES:
        ledger.note("pdf-picture-too-large", width=width, height=height, most=MOST_PIXELS // 10**6)
        raise Malformed("a picture that is too large")
    data = _data(image, filters, needed, ledger=ledger)
    return Raster(width=width, height=height, components=components, bits=bits, data=data)


def _by_filter(found: Packed, size: tuple[int, int], ledger: Ledger) -> Raster:
    if found.filter == "/DCTDecode":
        return jpeg(found, ledger)
    if found.filter == "/JPXDecode":
        return jpx(found, ledger)
    if found.filter == "/CCITTFaxDecode":
        return fax(found, *size)
    raise Malformed("a picture in a packing that is not unpacked")


def _data(image: Stream, filters: Filters, needed: int, *, ledger: Ledger) -> bytes | Inflating:
    """So many bytes; deflated ones are unpacked when they are read."""
    if len(filters) == 1 and is_plain_flate(*filters[0]):
        return Inflating(raw_bytes(image))
    found = packed(image, most=max(needed * 2, 1 << 20))
    if len(found.data) < needed:
        ledger.note("pdf-picture-cut-short")
        return found.data + bytes(needed - len(found.data))
    return found.data


def jpeg(found: Packed, ledger: Ledger) -> Raster:
    """Samples as they were packed: inks of a picture that was packed inverted stay so, its Decode array tells."""
    from imagecodecs import jpeg8_decode  # noqa: PLC0415  # heavy

    header = jpeg_header(found.data)
    refuse_bombs(header.width, header.height, ledger)
    if header.bits != 8:
        raise Malformed("a JPEG of more than 8 bits")
    try:
        before, after = _turned(header, found.parameters)
        dots = jpeg8_decode(found.data, colorspace=before, outcolorspace=after)
    except (RuntimeError, ValueError, TypeError) as error:
        raise Malformed("a JPEG that can not be unpacked") from error
    return _shaped(dots, header)


def fax(found: Packed, width: int, height: int) -> Raster:
    """Samples of fax group 4. Raises ``Malformed`` for other groups, and where the codes do not come to the rows."""
    told = found.parameters
    kind, columns, is_aligned, black_is_1 = (
        default if told is None else told.get(name, default)
        for name, default in (("/K", 0), ("/Columns", 1728), ("/EncodedByteAlign", False), ("/BlackIs1", False))
    )
    if kind >= 0 or is_aligned or columns != width:
        raise Malformed("a fax of another group")
    dots = np.zeros((height + PROOF_ROWS, width), dtype=np.uint8)
    try:
        black = unpack_fax(found.data, dots, packing=Packing.CCITT_G4, t4_options=0)
    except FaxDamaged as error:
        raise Malformed("a fax that is damaged") from error
    samples = black if black_is_1 else 1 - black
    return Raster(width=width, height=height, components=1, bits=1, data=samples[..., None])


def _turned(header: Header, parameters: Object | None) -> tuple[str | None, str | None]:
    """What is told outside of the JPEG about its luminance and chrominance counts where it says nothing itself
    (ISO 32000-2, table 13)."""
    told = None if parameters is None else parameters.get("/ColorTransform")
    if header.is_told or told is None:
        return None, None
    spaces = {3: ("RGB", "YCBCR", "RGB"), 4: ("CMYK", "YCCK", "CMYK")}.get(header.components)
    if spaces is None:
        return None, None
    return spaces[1] if told else spaces[0], spaces[2]


def jpx(found: Packed, ledger: Ledger) -> Raster:
    """Samples of a JPEG 2000, all of its channels."""
    from imagecodecs import jpeg2k_decode  # noqa: PLC0415  # heavy

    header = jpx_header(found.data)
    refuse_bombs(header.width, header.height, ledger)
    if header.width * header.height * header.components > MOST_BYTES:
        raise Malformed("a JPEG 2000 that is too large")
    try:
        dots = jpeg2k_decode(found.data)
    except (RuntimeError, ValueError, TypeError) as error:
        raise Malformed("a JPEG 2000 that can not be unpacked") from error
    return _shaped(dots, header)


def _shaped(dots: NDArray[Any], header: Header) -> Raster:
    if dots.dtype not in (np.uint8, np.uint16) or dots.ndim not in (2, 3):
        raise Malformed("a picture of unusual samples")
    shaped = dots if dots.ndim == 3 else dots[..., None]
    height, width, components = shaped.shape
    return Raster(width=width, height=height, components=components, bits=header.bits, data=shaped)
