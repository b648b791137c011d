"""What a page draws with, broken or made to do harm: forms, patterns, masks, pictures, fonts, functions, profiles."""

# ruff: noqa: E501 - a piece of a file is better read whole
from __future__ import annotations

import random
import struct
from collections.abc import Callable

from formats.pdf.kinds import EITHER, READ, REFUSED, Kind, kind
from formats.pdf.raw_pdf import CATALOG, HALF, bomb, form, image, packed, page, stream

DRAWN = b"/O Do\n" + HALF
BY_NAME = b"/XObject << /O 5 0 R >>"
SQUARE = b"0 0 10 10 re f\n"
NOISE = random.Random(4).randbytes(3000)


def _drawn(*more: bytes, content: bytes = DRAWN, resources: bytes = BY_NAME) -> Callable[[], bytes]:
    return lambda: page(content, resources, *more)


def _filled(*more: bytes, space: bytes = b"5 0 R", values: bytes = b"0.5") -> Callable[[], bytes]:
    """A square in a colour space, and then what is right."""
    return _drawn(
        *more, content=b"/S cs %s scn %s" % (values, SQUARE) + HALF, resources=b"/ColorSpace << /S %s >>" % space
    )


def _tinted(function: bytes, *more: bytes, values: bytes = b"0.5") -> Callable[[], bytes]:
    return _filled(function, *more, space=b"[/Separation /Gold /DeviceCMYK 5 0 R]", values=values)


def _patterned(pattern: bytes, *more: bytes) -> Callable[[], bytes]:
    content = b"/Pattern cs /P scn %s" % SQUARE + HALF
    return _drawn(pattern, *more, content=content, resources=b"/Pattern << /P 5 0 R >>")


def _shaded(entries: bytes, *more: bytes) -> Callable[[], bytes]:
    content = b"q 0 0 50 50 re W n /H sh Q\n" + HALF
    return _drawn(
        b"<< /ColorSpace /DeviceCMYK %s >>" % entries, *more, content=content, resources=b"/Shading << /H 5 0 R >>"
    )


def _masked(mask: bytes, *more: bytes) -> Callable[[], bytes]:
    content = b"q /G gs %s Q\n" % SQUARE + HALF
    return _drawn(mask, *more, content=content, resources=b"/ExtGState << /G << /SMask 5 0 R >> >>")


def _lettered(font: bytes, *more: bytes) -> Callable[[], bytes]:
    content = b"BT /F 10 Tf 5 5 Td (abc) Tj ET\n" + HALF
    return _drawn(font, *more, content=content, resources=b"/Font << /F 5 0 R >>")


def _within_file(kind_of: bytes, key: bytes, data: bytes) -> Callable[[], bytes]:
    font = b"<< /Type /Font /Subtype /%s /BaseFont /X /FirstChar 97 /LastChar 99 /Widths [500 500 500] " % kind_of
    descriptor = b"<< /Type /FontDescriptor /FontName /X /Flags 4 /%s 7 0 R >>" % key
    return _lettered(font + b"/FontDescriptor 6 0 R >>", descriptor, stream(data))


def _type3(
    procs: bytes, *more: bytes, matrix: bytes = b"[0.1 0 0 0.1 0 0]", resources: bytes = b""
) -> Callable[[], bytes]:
    font = (
        b"<< /Type /Font /Subtype /Type3 /FontBBox [0 0 10 10] /FontMatrix %s /FirstChar 97 /LastChar 99 "
        b"/Widths [10 10 10] /Encoding << /Differences [97 /a /b /c] >> /CharProcs << %s >> /Resources << %s >> >>"
    )
    return _lettered(font % (matrix, procs, resources), *more)


def _pictured(data: bytes, width: int, height: int, entries: bytes, *more: bytes) -> Callable[[], bytes]:
    return _drawn(image(data, width, height, entries), *more, content=b"q 10 0 0 10 0 0 cm /O Do Q\n" + HALF)


def _laughs(levels: int) -> Callable[[], bytes]:
    """Forms that each draw the next ten times."""
    numbers = range(6, 6 + levels)
    links = [form(b"/O Do\n" * 10, b"/XObject << /O %d 0 R >>" % number) for number in numbers]
    return lambda: page(DRAWN, BY_NAME, *links, form(SQUARE))


def _chain(levels: int) -> Callable[[], bytes]:
    links = [form(b"/O Do\n", b"/XObject << /O %d 0 R >>" % number) for number in range(6, 6 + levels)]
    return lambda: page(DRAWN, BY_NAME, *links, form(SQUARE))


def _tiles(content: bytes, steps: bytes, resources: bytes = b"", entries: bytes = b"") -> bytes:
    told = b"/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 10 10] %s %s /Resources << %s >>"
    return stream(content, told % (steps, entries, resources))


def _jpeg2000() -> bytes:
    """The head of a picture that says it has 2 to the 31 rows of so many columns (ISO 15444-1, A.5.1)."""
    side = 2**31 - 1
    size = struct.pack(">HHLLLLLLLLH", 41, 0, side, side, 0, 0, side, side, 0, 0, 1) + b"\x07\x01\x01"
    return b"\xff\x4f\xff\x51" + size + b"\xff\xd9"


def _jpeg() -> bytes:
    """The head of a picture of 65 535 x 65 535 dots and nothing behind it (ITU-T T.81)."""
    return b"\xff\xd8\xff\xc0" + struct.pack(">HBHHB", 17, 8, 65535, 65535, 3) + b"\1\x11\0\2\x11\0\3\x11\0\xff\xd9"


EXPONENTIAL = b"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] /N %s >>"
SAMPLED = b"/FunctionType 0 /Domain [0 1] /Range [0 1 0 1 0 1 0 1] "
CALCULATED = b"/FunctionType 4 /Domain [0 1] /Range [0 1 0 1 0 1 0 1] "
GREY8 = b"/BitsPerComponent 8 /ColorSpace /DeviceGray "
ALPHA = b"<< /S /Alpha /G 6 0 R >>"
GROUPED = b"/Group << /S /Transparency /CS /DeviceGray >> "
LAYERED = b"/OC /L BDC %sEMC\n" % SQUARE + HALF
DEEP_VE = b"[/Not " * 400 + b"[/Not 6 0 R]" + b"]" * 400


def _catalog(entries: bytes, *more: bytes) -> bytes:
    return page(HALF, b"", *more, catalog=CATALOG[:-2] + entries + b" >>")


def _bomb_picture() -> bytes:
    entries = b"/Type /XObject /Subtype /Image /Width 30000 /Height 30000 " + GREY8
    return page(b"q 10 0 0 10 0 0 cm /O Do Q\n" + HALF, BY_NAME, bomb(b"\xff", 900, entries))


def _spots(count: int) -> bytes:
    spaces = b" ".join(b"/S%d [/Separation /Ink%d /DeviceCMYK 5 0 R]" % (each, each) for each in range(count))
    return page(HALF, b"/ColorSpace << %s >>" % spaces, EXPONENTIAL % b"1")


def _mesh() -> bytes:
    told = b"/ShadingType 4 /ColorSpace /DeviceCMYK /BitsPerCoordinate 32 /BitsPerComponent 16 /BitsPerFlag 8 "
    decode = b"/Decode [-1000000000 1000000000 -1000000000 1000000000 0 1 0 1 0 1 0 1]"
    content = b"q 0 0 50 50 re W n /H sh Q\n" + HALF
    return page(content, b"/Shading << /H 5 0 R >>", stream(NOISE * 20, told + decode))


def _behind(count: int) -> bytes:
    """A chain of references in what the resources hold."""
    chain = [b"<< /Next %d 0 R >>" % number for number in range(6, 6 + count)]
    return page(HALF, b"/Own 5 0 R", *chain, b"<< >>")


OBJECTS: list[Kind] = [
    kind("a form in itself", _drawn(form(b"/O Do", BY_NAME)), READ),
    kind("two forms in each other", _drawn(form(b"/O Do", b"/XObject << /O 6 0 R >>"), form(b"/O Do", BY_NAME)), READ),
    kind("forms twenty deep", _chain(20), READ),
    kind("forms two thousand deep", _chain(2000), REFUSED),
    kind("forms that multiply", _laughs(9), REFUSED),
    kind("forms that multiply beyond all", _laughs(22), REFUSED),
    kind("a form of noise", _drawn(form(NOISE)), EITHER),
    kind("a form with a matrix of names", _drawn(form(SQUARE, entries=b"/Matrix [/A /B /C /D /E /F]")), READ),
    kind("a form as a bomb", _drawn(bomb(b" ", 1500, b"/Type /XObject /Subtype /Form /BBox [0 0 9 9]")), EITHER),
    kind("a form without a box", _drawn(stream(b"0 0 0 0 k " + SQUARE, b"/Subtype /Form")), EITHER),
    kind("a dictionary for a form", _drawn(b"<< /Subtype /Form >>"), READ),
    kind("a pattern in itself", _patterned(_tiles(b"/Pattern cs /P scn " + SQUARE, b"/XStep 10 /YStep 10", b"/Pattern << /P 5 0 R >>")), READ),
    kind("tiles finer than dust", _patterned(_tiles(b"0 0 0 0 k " + SQUARE, b"/XStep 0.00001 /YStep 0.00001")), EITHER),
    kind("tiles without a step", _patterned(_tiles(b"0 0 0 0 k " + SQUARE, b"/XStep 0 /YStep 0")), EITHER),
    kind("tiles of a billion", _patterned(_tiles(b"0 0 0 0 k " + SQUARE, b"/XStep 1000000000000000000000000000000 /YStep -1000000000000000000000000000000")), READ),
    kind("tiles through no matrix", _patterned(_tiles(SQUARE, b"/XStep 1 /YStep 1", entries=b"/Matrix [0 0 0 0 0 0]")), READ),
    kind("a pattern that is a number", _patterned(b"7"), READ),
    kind("a pattern of an unknown kind", _patterned(b"<< /PatternType 9 >>"), EITHER),
    kind("a mask in itself", _masked(ALPHA, form(b"/G gs " + SQUARE, b"/ExtGState << /G << /SMask 5 0 R >> >>", GROUPED)), READ),
    kind("a mask of nothing", _masked(b"<< /S /Luminosity /G null >>"), READ),
    kind("a mask with an odd backdrop", _masked(b"<< /S /Luminosity /G 6 0 R /BC [(a) 1 2 3 4 5] >>", form(SQUARE, entries=GROUPED)), READ),
    kind("a mask with a curve in itself", _masked(b"<< /S /Alpha /G 6 0 R /TR 7 0 R >>", form(SQUARE, entries=GROUPED), b"<< /FunctionType 3 /Domain [0 1] /Functions [7 0 R] /Bounds [] /Encode [0 1] >>"), READ),
    kind("a state in itself", _drawn(b"<< /SMask 5 0 R /Font [5 0 R 1] >>", content=b"q /G gs Q\n" + HALF, resources=b"/ExtGState << /G 5 0 R >>"), READ),
    kind("an opacity of a million", _drawn(b"<< /ca 1000000 /CA -5 >>", content=b"q /G gs 0 0 0 0 k " + SQUARE + b"Q\n" + HALF, resources=b"/ExtGState << /G 5 0 R >>"), READ),
    kind("letters that draw themselves", _type3(b"/a 6 0 R", stream(b"10 0 d0 BT /F 1 Tf (a) Tj ET"), resources=b"/Font << /F 5 0 R >>"), READ),
    kind("letters of noise", _type3(b"/a 6 0 R", stream(NOISE)), EITHER),
    kind("letters through no matrix", _type3(b"/a 6 0 R", stream(b"10 0 d0 " + SQUARE), matrix=b"[0 0 0 0 0 0]"), READ),
    kind("letters beyond measure", _type3(b"/a 6 0 R", stream(b"10 0 d0 0 0 0 0 k " + SQUARE), matrix=b"[1000000000000000000000000000000 0 0 1000000000000000000000000000000 0 0]"), READ),
    kind("letters without drawings", _type3(b""), READ),
    kind("a font of noise (TrueType)", _within_file(b"TrueType", b"FontFile2", b"\0\1\0\0\0\x20" + NOISE), READ),
    kind("a font of noise (Type 1)", _within_file(b"Type1", b"FontFile", b"%!PS-AdobeFont-1.0\n" + NOISE), READ),
    kind("a font of noise (CFF)", _within_file(b"Type1", b"FontFile3", b"\1\0\4\4" + NOISE), READ),
    kind("a font without anything", _lettered(b"<< /Type /Font >>"), READ),
    kind("a font that is a number", _lettered(b"7"), READ),
    kind("a font of two thousand million letters", _lettered(b"<< /Type /Font /Subtype /TrueType /FirstChar 0 /LastChar 2147483647 /Widths [] >>"), READ),
    kind("a font below itself", _lettered(b"<< /Type /Font /Subtype /Type0 /Encoding /Identity-H /DescendantFonts [5 0 R] >>"), READ),
    kind("a table of letters that uses itself", _lettered(b"<< /Type /Font /Subtype /Type0 /Encoding 6 0 R /DescendantFonts [7 0 R] >>", stream(b"", b"/Type /CMap /UseCMap 6 0 R"), b"<< /Type /Font /Subtype /CIDFontType2 >>"), READ),
    kind("a picture without measure", _pictured(b"", 10**6, 10**6, b"/BitsPerComponent 1 /ColorSpace /DeviceGray"), EITHER),
    kind("a picture beyond measure", _pictured(b"\0", 2**31 - 1, 2**31 - 1, GREY8), EITHER),
    kind("a picture of negative size", _pictured(b"\0", -5, -5, GREY8), READ),
    kind("a picture of no size", _pictured(b"\0", 0, 0, GREY8), READ),
    kind("a picture as a bomb", _bomb_picture, EITHER),
    kind("a JPEG without measure", _pictured(_jpeg(), 65535, 65535, b"/Filter /DCTDecode /ColorSpace /DeviceRGB /BitsPerComponent 8"), EITHER),
    kind("a JPEG of noise", _pictured(b"\xff\xd8\xff" + NOISE, 10, 10, GREY8 + b"/Filter /DCTDecode"), EITHER),
    kind("a JPEG 2000 without measure", _pictured(_jpeg2000(), 2**31 - 1, 2**31 - 1, b"/Filter /JPXDecode"), EITHER),
    kind("a JPEG 2000 of noise", _pictured(b"\xff\x4f\xff\x51" + NOISE, 10, 10, b"/Filter /JPXDecode"), EITHER),
    kind("a JBIG2 of noise", _pictured(NOISE, 10, 10, b"/Filter /JBIG2Decode /BitsPerComponent 1 /ColorSpace /DeviceGray"), EITHER),
    kind("a fax without measure", _pictured(NOISE, 10, 10, b"/Filter /CCITTFaxDecode /DecodeParms << /K -1 /Columns 2147483647 /Rows 2147483647 >> /BitsPerComponent 1 /ColorSpace /DeviceGray"), EITHER),
    kind("a picture of seven bits", _pictured(NOISE, 10, 10, b"/BitsPerComponent 7 /ColorSpace /DeviceGray"), EITHER),
    kind("a picture with a strange decode", _pictured(NOISE, 10, 10, GREY8 + b"/Decode [100000000000000000000000000000000000000 -100000000000000000000000000000000000000]"), EITHER),
    kind("a picture that masks itself", _pictured(NOISE, 10, 10, GREY8 + b"/SMask 5 0 R"), EITHER),
    kind("a stencil without measure", _pictured(b"", 2**20, 2**20, b"/ImageMask true /BitsPerComponent 1"), EITHER),
    kind("an index into itself", _filled(b"[/Indexed 5 0 R 255 (abc)]"), EITHER),
    kind("an index of a billion", _filled(b"[/Indexed /DeviceRGB 1000000000 (abc)]"), EITHER),
    kind("a separation of itself", _filled(b"[/Separation /Gold 5 0 R 6 0 R]", EXPONENTIAL % b"1"), EITHER),
    kind("an ink with an endless name", _filled(b"[/Separation /%s /DeviceCMYK 6 0 R]" % (b"G" * 100_000), EXPONENTIAL % b"1"), EITHER),
    kind("an ink with a name of noise", _filled(b"[/Separation /#ff#fe#01 /DeviceCMYK 6 0 R]", EXPONENTIAL % b"1"), EITHER),
    kind("a thousand inks", _filled(b"[/DeviceN [%s] /DeviceCMYK 6 0 R]" % b" ".join(b"/I%d" % n for n in range(1000)), EXPONENTIAL % b"1"), EITHER),
    kind("ten thousand spots", lambda: _spots(10_000), "pdf-too-many-spots"),
    kind("a profile of noise", _filled(b"[/ICCBased 6 0 R]", stream(NOISE, b"/N 3"), values=b"0 0 1"), EITHER),
    kind("a profile of nothing", _filled(b"[/ICCBased 6 0 R]", stream(b"", b"/N 4"), values=b"0 0 1 0"), EITHER),
    kind("a profile of a hundred inks", _filled(b"[/ICCBased 6 0 R]", stream(NOISE, b"/N 100"), values=b"0 0 1"), EITHER),
    kind("a profile that stands for itself", _filled(b"[/ICCBased 6 0 R]", stream(NOISE, b"/N 3 /Alternate 5 0 R"), values=b"0 0 1"), EITHER),
    kind("a profile as a bomb", _filled(b"[/ICCBased 6 0 R]", bomb(b"\0", 900, b"/N 3"), values=b"0 0 1"), EITHER),
    kind("a space that is a stream", _filled(stream(b"")), EITHER),
    kind("a power beyond measure", _tinted(EXPONENTIAL % b"100000000000000000000000000000000000000"), EITHER),
    kind("a negative power", _tinted(EXPONENTIAL % b"-5", values=b"0"), EITHER),
    kind("a stitch of itself", _tinted(b"<< /FunctionType 3 /Domain [0 1] /Functions [5 0 R] /Bounds [] /Encode [0 1] >>"), EITHER),
    kind("a program in programs", _tinted(stream(b"{" * 50_000 + b"}" * 50_000, CALCULATED)), EITHER),
    kind("a program of a million words", _tinted(stream(b"{ " + b"dup pop " * 500_000 + b"0 0 0 }", CALCULATED)), EITHER),
    kind("a program that fills the stack", _tinted(stream(b"{ " + b"dup " * 200_000 + b"}", CALCULATED)), EITHER),
    kind("a program that copies all", _tinted(stream(b"{ " + b"100 copy " * 50_000 + b"}", CALCULATED)), EITHER),
    kind("a program of noise", _tinted(stream(NOISE, CALCULATED)), EITHER),
    kind("a table without measure", _tinted(stream(b"\0" * 10, SAMPLED + b"/Size [2147483647] /BitsPerSample 32")), EITHER),
    kind("a table of three bits", _tinted(stream(b"\0" * 10, SAMPLED + b"/Size [2] /BitsPerSample 3")), EITHER),
    kind("a domain the other way", _tinted(b"<< /FunctionType 2 /Domain [1 0] /C0 [0 0 0 0] /C1 [0 1 0 0] /N 1 >>"), EITHER),
    kind("a shading of itself", _shaded(b"/ShadingType 2 /Coords [0 0 1 1] /Function 6 0 R", b"<< /FunctionType 3 /Domain [0 1] /Functions [6 0 R] /Bounds [] /Encode [0 1] >>"), EITHER),
    kind("a shading beyond measure", _shaded(b"/ShadingType 3 /Coords [0 0 1000000000000000000000000000000 1 1 100000000000000000000000000000000000000] /Extend [true true] /Function 6 0 R", EXPONENTIAL % b"1"), EITHER),
    kind("a mesh of noise", _mesh, EITHER),
    kind("a shading of an unknown kind", _shaded(b"/ShadingType 99"), EITHER),
    kind("a layer in itself", _drawn(b"<< /Type /OCMD /OCGs 5 0 R >>", content=LAYERED, resources=b"/Properties << /L 5 0 R >>"), EITHER),
    kind("a layer by a deep sum", _drawn(b"<< /Type /OCMD /VE %s >>" % DEEP_VE, b"<< /Type /OCG /Name (a) >>", content=b"0 0 0 0 k " + LAYERED, resources=b"/Properties << /L 5 0 R >>"), EITHER),
    kind("a layer by a sum of itself", _drawn(b"<< /Type /OCMD /VE 6 0 R >>", b"[/And 6 0 R 6 0 R]", content=LAYERED, resources=b"/Properties << /L 5 0 R >>"), EITHER),
    kind("layers of an odd document", lambda: page(HALF, catalog=b"<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [1 2 3] /D [7] >> >>"), EITHER),
    kind("resources in arrays in arrays", _drawn(b"[" * 400 + b"]" * 400), READ),
    kind("resources deeper than any reader goes", _drawn(b"[" * 100_000 + b"]" * 100_000), EITHER),
    kind("objects behind objects", lambda: _behind(20_000), READ),
    kind("a form to fill in (XFA)", lambda: _catalog(b"/AcroForm << /XFA 5 0 R /NeedsRendering true >>", stream(b"<xdp:xdp/>")), READ),
    kind("a script", lambda: _catalog(b"/OpenAction << /S /JavaScript /JS (while \\(true\\);) >>"), READ),
    kind("a program to start", lambda: _catalog(b"/OpenAction << /S /Launch /F (/bin/sh) >>"), READ),
    kind("an address to go to", lambda: _catalog(b"/OpenAction << /S /URI /URI (http://127.0.0.1:9/) >>"), READ),
    kind("a file within", lambda: _catalog(b"/Names << /EmbeddedFiles << /Names [(a) << /EF << /F 5 0 R >> >>] >> >>", packed(NOISE)), READ),
    kind("a note in itself", lambda: page(HALF, b"", b"<< /Subtype /Text /Parent 5 0 R /Popup 5 0 R /AP 5 0 R >>", entries=b"/MediaBox [0 0 100 100] /Annots [5 0 R]"), EITHER),
    kind("notes that are none", lambda: page(HALF, entries=b"/MediaBox [0 0 100 100] /Annots [7 (a) null]"), EITHER),
    kind("notes that are a number", lambda: page(HALF, entries=b"/MediaBox [0 0 100 100] /Annots 7"), EITHER),
    kind("an output intent of noise", lambda: _catalog(b"/OutputIntents [<< /S /GTS_PDFX /DestOutputProfile 5 0 R >>]", stream(NOISE, b"/N 4")), EITHER),
    kind("a group in an unknown space", lambda: page(HALF, entries=b"/MediaBox [0 0 100 100] /Group << /S /Transparency /CS [/ICCBased 7] >>"), EITHER),
]  # fmt: skip
