"""Pictures that stand in a content stream itself, as the objects they abbreviate (ISO 32000-2, 8.9.7)."""

from __future__ import annotations

import pikepdf
from pikepdf import Array, Name, Stream

from filmsplit.formats.pdf.malformed import Malformed

KEYS = {
    "/BPC": "/BitsPerComponent",
    "/CS": "/ColorSpace",
    "/D": "/Decode",
    "/DP": "/DecodeParms",
    "/F": "/Filter",
    "/H": "/Height",
    "/IM": "/ImageMask",
    "/I": "/Interpolate",
    "/W": "/Width",
}
SPACES = {"/G": "/DeviceGray", "/RGB": "/DeviceRGB", "/CMYK": "/DeviceCMYK", "/I": "/Indexed"}
FILTERS = {
    "/AHx": "/ASCIIHexDecode",
    "/A85": "/ASCII85Decode",
    "/LZW": "/LZWDecode",
    "/Fl": "/FlateDecode",
    "/RL": "/RunLengthDecode",
    "/CCF": "/CCITTFaxDecode",
    "/DCT": "/DCTDecode",
}


def inline_picture(found: object, pdf: pikepdf.Pdf) -> Stream:
    """An image object of ``pdf`` with the same data. Raises ``Malformed`` where it is none."""
    described, data = getattr(found, "_image_object", None), getattr(found, "_data", None)
    if described is None or data is None:
        raise Malformed("an inline picture without data")
    image = pdf.make_stream(bytes(data._inline_image_raw_bytes()))
    pairs = list(described)
    for name, value in zip(pairs[::2], pairs[1::2], strict=False):
        key = KEYS.get(str(name), str(name))
        image[key] = _whole(key, value)
    image["/Type"], image["/Subtype"] = Name.XObject, Name.Image
    return image


def _whole(key: str, value: object) -> object:
    """A value without abbreviations."""
    names = {"/ColorSpace": SPACES, "/Filter": FILTERS}.get(key)
    if names is None:
        return value
    if isinstance(value, Name):
        return Name(names.get(str(value), str(value)))
    if isinstance(value, Array):
        return Array([_whole(key, each) if isinstance(each, Name) else each for each in value])
    return value
