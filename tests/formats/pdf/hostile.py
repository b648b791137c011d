"""PDFs that are broken, or made to do harm: each with what should come of it.

All of them are written here. What a kind does is known from the standard (ISO 32000-2, ISO 32000-1 annex H) or is
common knowledge about files that readers have choked on; no file of anybody else was copied.
"""

# ruff: noqa: E501 - a piece of a file is better read whole
from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import BytesIO

import pikepdf

from formats.pdf.hostile_objects import OBJECTS
from formats.pdf.kinds import EITHER, READ, REFUSED, Kind, kind
from formats.pdf.raw_pdf import CATALOG, HALF, ROOT, TREE, bomb, document, page, stream

GOOD = page()


def _cut(share: float) -> Callable[[], bytes]:
    return lambda: GOOD[: int(share * len(GOOD))]


def _locked(*, user: str, owner: str) -> bytes:
    made = BytesIO()
    with pikepdf.open(BytesIO(GOOD)) as pdf:
        pdf.save(made, encryption=pikepdf.Encryption(user=user, owner=owner))
    return made.getvalue()


def _box(box: bytes, entries: bytes = b"") -> Callable[[], bytes]:
    return lambda: page(entries=b"/MediaBox %s %s" % (box, entries))


def _swapped(old: bytes, new: bytes) -> Callable[[], bytes]:
    def made() -> bytes:
        assert GOOD.count(old) == 1, old
        return GOOD.replace(old, new)

    return made


def _content(content: bytes) -> Callable[[], bytes]:
    return lambda: page(content + b"\n" + HALF)


LEAF = b"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << >> /MediaBox [0 0 100 100] >>"
AT = b"%d" % GOOD.rindex(b"xref\n0 5")
STARTS = b"startxref\n" + AT


def _objects_packed(entries: bytes) -> bytes:
    return page(b"/O Do\n" + HALF, b"/XObject << /O 6 0 R >>", stream(b"6 0 << >>", b"/Type /ObjStm " + entries))


def _table_packed(entries: bytes) -> bytes:
    body = GOOD[: GOOD.rindex(b"xref\n0")]
    table = stream(b"\x01\x00\x09\x00" * 8, b"/Type /XRef /Size 9 %s %s" % (ROOT, entries))
    return body + b"8 0 obj\n%s\nendobj\nstartxref\n%d\n%%%%EOF" % (table, len(body))


def _table_bomb() -> bytes:
    body = GOOD[: GOOD.rindex(b"xref\n0")]
    table = bomb(b"\0", 900, b"/Type /XRef /Size 9 /W [1 2 1] " + ROOT)
    return body + b"8 0 obj\n%s\nendobj\nstartxref\n%d\n%%%%EOF" % (table, len(body))


FILES = [
    kind("only a header", lambda: b"%PDF-1.7\n", REFUSED),
    kind("a header and noise", lambda: b"%PDF-1.7\n" + random.Random(1).randbytes(5000), REFUSED),
    kind("a header and an end", lambda: b"%PDF-1.7\n%%EOF", REFUSED),
    *(kind(f"cut at {share}", _cut(share), EITHER) for share in (0.03, 0.1, 0.25, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.99)),
    kind("junk before it", lambda: b"\0junk\n" * 100 + GOOD, READ),
    kind("junk behind it", lambda: GOOD + b"\xff" * 3000, READ),
    kind("far behind junk", lambda: b" " * 1025 + GOOD, "plate-file-unknown-kind"),
    kind("no table", lambda: GOOD[: GOOD.rindex(b"xref\n0")] + b"trailer << %s >>" % ROOT, READ),
    kind("table elsewhere", _swapped(STARTS, b"startxref\n99999999999999999999"), EITHER),
    kind("table at a negative place", _swapped(STARTS, b"startxref\n-5"), READ),
    kind("table before itself", lambda: page(trailer=ROOT + b" /Prev " + AT), READ),
    kind("tables in a circle", lambda: page(trailer=ROOT + b" /Prev 9 /XRefStm 9"), EITHER),
    kind("table of endless size", _swapped(b"xref\n0 5", b"xref\n0 4000000000"), EITHER),
    kind("table from endless number", _swapped(b"xref\n0 5", b"xref\n2147483640 5"), EITHER),
    kind("size of two to the 63", _swapped(b"/Size 5", b"/Size 9223372036854775807"), EITHER),
    kind("size negative", _swapped(b"/Size 5", b"/Size -5"), EITHER),
    kind("no root", lambda: page(trailer=b""), EITHER),
    kind("a root that is none", lambda: page(trailer=ROOT.replace(b"1", b"4")), EITHER),
    kind("a root that is not there", lambda: page(trailer=ROOT.replace(b"1", b"99")), EITHER),
    kind("number of object too large", lambda: page(b"/O Do\n" + HALF, b"/XObject << /O 4294967297 0 R >>"), EITHER),
    kind("number of object negative", lambda: page(b"/O Do\n" + HALF, b"/XObject << /O -7 0 R >>"), EITHER),
    kind("two objects of one number", lambda: GOOD[:9] + b"4 0 obj\n5\nendobj\n" + GOOD[9:], EITHER),
    kind("locked", lambda: _locked(user="inky", owner="inky"), "pdf-encrypted"),
    kind("locked for changes only", lambda: _locked(user="", owner="inky"), READ),
    kind("locked in an unknown way", lambda: page(trailer=ROOT + b" /Encrypt << /Filter /Own /V 9 >>"), REFUSED),
    kind("locked with nonsense", lambda: page(trailer=ROOT + b" /Encrypt << /Filter /Standard /V 1 /R 2 >>"), REFUSED),
    kind("stack of objects with endless count", lambda: _objects_packed(b"/N 1000000000 /First 10"), EITHER),
    kind("stack of objects that extends itself", lambda: _objects_packed(b"/N 1 /First 4 /Extends 5 0 R"), EITHER),
    kind("stack of objects as a bomb", lambda: page(HALF, b"", bomb(b" ", 900, b"/Type /ObjStm /N 1 /First 4")), READ),
    kind("table as a stream, fields too wide", lambda: _table_packed(b"/W [9 9 9]"), EITHER),
    kind("table as a stream, endless", lambda: _table_packed(b"/W [1 2 1] /Index [0 2147483647]"), EITHER),
    kind("table as a stream, negative", lambda: _table_packed(b"/W [1 -2 1] /Index [-5 -5]"), EITHER),
    kind("table as a stream, a bomb", _table_bomb, EITHER),
]


def _deep_tree(depth: int) -> bytes:
    kids = {each: b"<< /Type /Pages /Kids [%d 0 R] /Count 1 >>" % (each + 1) for each in range(5, 5 + depth)}
    root = {1: CATALOG, 2: b"<< /Type /Pages /Kids [5 0 R] /Count 1 >>", 4: stream(HALF)}
    return document({**root, **kids, 5 + depth: LEAF})


def _circle_above() -> bytes:
    """A page whose parent is its own child, so that what it inherits is nowhere."""
    leaf = b"<< /Type /Page /Parent 5 0 R /Contents 4 0 R >>"
    tree = {1: CATALOG, 2: b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>", 3: leaf, 4: stream(HALF)}
    return document({**tree, 5: b"<< /Parent 6 0 R >>", 6: b"<< /Parent 5 0 R >>"})


TREES = [
    kind("no pages", lambda: document({1: CATALOG, 2: b"<< /Type /Pages /Kids [] /Count 0 >>"}), "pdf-no-pages"),
    kind("no page tree", lambda: document({1: b"<< /Type /Catalog >>"}), REFUSED),
    kind("a tree that is a number", lambda: document({1: CATALOG, 2: b"7"}), REFUSED),
    kind("a tree in itself", lambda: document({1: CATALOG, 2: b"<< /Type /Pages /Kids [2 0 R] /Count 1 >>"}), REFUSED),
    kind("a tree with its root below", lambda: document({1: CATALOG, 2: TREE, 3: TREE}), REFUSED),
    kind("a tree of a thousand levels", lambda: _deep_tree(1000), EITHER),
    kind("a tree of 20 000 levels", lambda: _deep_tree(20_000), EITHER),
    kind("a page above itself", _circle_above, EITHER),
    kind("endless count", lambda: GOOD.replace(b"/Count 1", b"/Count 2147483647"), READ),
    kind("negative count", lambda: GOOD.replace(b"/Count 1", b"/Count -3"), READ),
    kind("a page that is an array", lambda: document({1: CATALOG, 2: TREE, 3: b"[1 2]"}), REFUSED),
    kind("a page that is not there", lambda: document({1: CATALOG, 2: TREE}), REFUSED),
    kind("one page many times", lambda: GOOD.replace(b"[3 0 R]", b"[%s]" % (b"3 0 R " * 10_000)), REFUSED),
    kind("no content", lambda: GOOD.replace(b"/Contents 4 0 R", b""), "pdf-page-empty"),
    kind("content that is a name", lambda: page(held=b"/Nothing"), REFUSED),
    kind("content that is not there", lambda: GOOD.replace(b"/Contents 4 0 R", b"/Contents 44 0 R"), "pdf-page-empty"),
    kind(
        "content a thousand times",
        lambda: GOOD.replace(b"/Contents 4 0 R", b"/Contents [%s]" % (b"4 0 R " * 1000)),
        READ,
    ),
    kind("content in a circle", lambda: page(held=b"[4 0 R]"), EITHER),
    kind("resources in a circle", lambda: GOOD.replace(b"/Resources << ", b"/Resources 3 0 R /Rest << "), READ),
    kind("resources that are a number", lambda: GOOD.replace(b"/Resources << ", b"/Resources 7 /Rest << "), READ),
]

ABSURD = "pdf-page-size-absurd"
BOXES = [
    kind("huge", _box(b"[0 0 1000000000 1000000000]"), ABSURD),
    kind("three kilometres wide, a point high", _box(b"[0 0 9000000 1]"), ABSURD),
    kind("beyond all numbers", _box(b"[0 0 1" + b"0" * 400 + b" 100]"), REFUSED),
    kind("no size", _box(b"[0 0 0 0]"), ABSURD),
    kind("no height", _box(b"[0 0 100 0]"), ABSURD),
    kind("nan", _box(b"[0 0 nan nan]"), EITHER),
    kind("strings", _box(b"[(0) (0) (100) (100)]"), EITHER),
    kind("three numbers", _box(b"[0 0 100]"), EITHER),
    kind("a dictionary", _box(b"<< >>"), EITHER),
    kind("corners the other way", _box(b"[100 100 0 0]"), READ),
    kind("far away", _box(b"[10000000 10000000 10000100 10000100]"), EITHER),
    kind("crop box beside it", _box(b"[0 0 100 100]", b"/CropBox [500 500 600 600]"), READ),
    kind("crop box of nans", _box(b"[0 0 100 100]", b"/CropBox [nan nan nan nan]"), EITHER),
    kind("units of a kilometre", _box(b"[0 0 100 100]", b"/UserUnit 1000000000"), ABSURD),
    kind("units of nothing", _box(b"[0 0 100 100]", b"/UserUnit 0"), ABSURD),
    kind("negative units", _box(b"[0 0 100 100]", b"/UserUnit -1"), ABSURD),
    kind("units that are a name", _box(b"[0 0 100 100]", b"/UserUnit /Mile"), REFUSED),
    kind("turned by 45", _box(b"[0 0 100 100]", b"/Rotate 45"), READ),
    kind("turned by a name", _box(b"[0 0 100 100]", b"/Rotate /Left"), REFUSED),
    kind("turned a billion times", _box(b"[0 0 100 100]", b"/Rotate 360000000000"), EITHER),
    kind("box in a circle", lambda: page(HALF, b"", b"[5 0 R 5 0 R 5 0 R 5 0 R]", entries=b"/MediaBox 5 0 R"), EITHER),
]

CONTENT = [
    kind("noise", _content(random.Random(2).randbytes(20_000)), EITHER),
    kind("only noise", lambda: page(random.Random(3).randbytes(100_000)), REFUSED),
    kind("a thousand Q", _content(b"Q " * 1000), READ),
    kind("a hundred thousand q", _content(b"q " * 100_000), EITHER),
    kind("q without end", lambda: page(b"q " * 5000 + HALF), READ),
    kind("a million numbers", _content(b"1 " * 1_000_000 + b"n"), READ),
    kind(
        "a million curves",
        lambda: page(HALF + b"0 0 m\n" + b"1000000000 -1000000000 5 5 3 3 c\n" * 100_000 + b"n"),
        READ,
    ),
    kind("numbers without measure", _content(b"1" + b"0" * 400 + b" 0 m 1e400 5 l -1e-400 nan l S"), EITHER),
    kind("a string without end", lambda: page(HALF + b"(abc"), READ),
    kind("an array without end", lambda: page(HALF + b"[" * 50), EITHER),
    kind("arrays in arrays", lambda: page(HALF + b"[" * 100_000 + b"]" * 100_000 + b" TJ"), EITHER),
    kind("dictionaries in dictionaries", lambda: page(HALF + b"/A " + b"<< /A " * 50_000 + b"BDC"), EITHER),
    kind("a picture without end", lambda: page(HALF + b"BI /W 10 /H 10 /BPC 8 /CS /G ID \0\0\0"), EITHER),
    kind("a picture of nothing", _content(b"BI ID EI"), EITHER),
    kind("an inline picture without measure", _content(b"BI /W 99999999 /H 99999999 /BPC 1 /CS /G ID x EI"), EITHER),
    kind("dashes finer than dust", _content(b"[0.0000001] 0 d 0.1 w 0 0 m 100 100 l 0 0 0 0 K S [] 0 d"), EITHER),
    kind("dashes of nothing", _content(b"[0 0 0] 0 d 0 0 m 100 100 l 0 0 0 0 K S"), READ),
    kind("negative dashes", _content(b"[-1 -2] -1000000000 d 0 0 m 100 100 l 0 0 0 0 K S"), READ),
    kind(
        "a phase beyond measure",
        _content(b"[1 2] 1000000000000000000000000000000 d 0 0 m 100 100 l 0 0 0 0 K S"),
        EITHER,
    ),
    kind("a long dashed line", _content(b"[0.001] 0 d 1 w 0 0 0 0 K 0 0 m 1000000000 0 l S [] 0 d"), EITHER),
    kind("a matrix of nothing", _content(b"q 0 0 0 0 0 0 cm 0 0 10 10 re f Q"), READ),
    kind(
        "a matrix beyond measure",
        _content(
            b"q 100000000000000000000000000000000000000 0 0 100000000000000000000000000000000000000 0 0 cm 100000000000000000000000000000000000000 0 0 100000000000000000000000000000000000000 0 0 cm 0 0 0 0 k 0 0 1 1 re f Q"
        ),
        EITHER,
    ),
    kind("ten thousand matrices", _content(b"q " + b"9 0 0 9 0 0 cm " * 10_000 + b"Q"), READ),
    kind("clips in clips", lambda: page(b"q " + b"0 0 100 100 re W n " * 20_000 + b"Q " + HALF), READ),
    kind("letters without a font", _content(b"BT (abc) Tj ET"), READ),
    kind("a font that is not there", _content(b"BT /F1 12 Tf (abc) Tj ET"), READ),
    kind("layers without end", _content(b"/OC /L BDC " * 10_000), READ),
    kind("ends of layers", _content(b"EMC " * 10_000), READ),
    kind("a bomb", lambda: page(held=bomb(b" ", 1500)), EITHER),
    kind("a bomb of instructions", lambda: page(held=bomb(b"q Q\n", 100)), EITHER),
    kind("length too short", lambda: page(held=stream(HALF, length=b"5")), EITHER),
    kind("length too long", lambda: page(held=stream(HALF, length=b"99999999")), READ),
    kind("length negative", lambda: page(held=stream(HALF, length=b"-1")), READ),
    kind("length that is the stream", lambda: page(held=stream(HALF, length=b"4 0 R")), READ),
    kind("an unknown filter", lambda: page(held=stream(HALF, b"/Filter /Own")), REFUSED),
    kind("a thousand filters", lambda: page(held=stream(HALF, b"/Filter [%s]" % (b"/ASCIIHexDecode " * 1000))), EITHER),
    kind("data that are not packed", lambda: page(held=stream(HALF, b"/Filter /FlateDecode")), REFUSED),
    kind(
        "rows without end",
        lambda: page(held=stream(HALF, b"/Filter /FlateDecode /DecodeParms << /Predictor 15 /Columns 2147483647 >>")),
        REFUSED,
    ),
    kind("content in another file", lambda: page(held=stream(HALF, b"/F (/etc/hostname)")), EITHER),
]


@dataclass(frozen=True)
class Chapter:
    name: str
    kinds: list[Kind]


CHAPTERS = (
    Chapter("file", FILES),
    Chapter("tree", TREES),
    Chapter("box", BOXES),
    Chapter("content", CONTENT),
    Chapter("object", OBJECTS),
)


def everything() -> Iterator[tuple[str, Kind]]:
    """Every kind with a name of its own."""
    for chapter in CHAPTERS:
        for each in chapter.kinds:
            yield f"{chapter.name}: {each.name}", each
