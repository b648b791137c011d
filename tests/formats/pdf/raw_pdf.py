"""PDF written byte by byte, so that anything in it can be wrong (ISO 32000-2, 7.5)."""

from __future__ import annotations

import zlib
from collections.abc import Mapping

HALF = b"1 0 0 0 k 0 0 50 100 re f\n"
"""Full cyan on the left half of the page: what is right where a page can be read."""
CATALOG = b"<< /Type /Catalog /Pages 2 0 R >>"
TREE = b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>"
BOX = b"/MediaBox [0 0 100 100]"


ROOT = b"/%s 1 0 R" % b"Root"


def stream(data: bytes, entries: bytes = b"", *, length: bytes | None = None) -> bytes:
    told = b"%d" % len(data) if length is None else length
    return b"<< /Length %s %s >>\nstream\n%s\nendstream" % (told, entries, data)


def packed(data: bytes, entries: bytes = b"") -> bytes:
    return stream(zlib.compress(data, 9), b"/Filter /FlateDecode " + entries)


def bomb(byte: bytes, times: int, entries: bytes = b"") -> bytes:
    """``times`` MB of one byte, packed twice: some hundred bytes."""
    packer = zlib.compressobj(9)
    once = b"".join(packer.compress(byte * 2**20) for _ in range(times)) + packer.flush()
    return stream(zlib.compress(once, 9), b"/Filter [/FlateDecode /FlateDecode] " + entries)


def document(objects: Mapping[int, bytes], *, trailer: bytes = ROOT, begins: bytes = b"%PDF-1.7\n") -> bytes:
    """A whole file with a table of its objects."""
    parts, at, places = [begins], len(begins), {}
    for number, content in objects.items():
        places[number] = at
        parts.append(b"%d 0 obj\n%s\nendobj\n" % (number, content))
        at += len(parts[-1])
    most = max(objects) + 1
    table = [b"%010d 00000 n \n" % places[each] if each in places else b"0000000000 65535 f \n" for each in range(most)]
    parts.append(b"xref\n0 %d\n%s" % (most, b"".join(table)))
    parts.append(b"trailer\n<< /Size %d %s >>\nstartxref\n%d\n%%%%EOF\n" % (most, trailer, at))
    return b"".join(parts)


def page(
    content: bytes = HALF,
    resources: bytes = b"",
    *more: bytes,
    entries: bytes = BOX,
    catalog: bytes = CATALOG,
    held: bytes | None = None,
    trailer: bytes = ROOT,
) -> bytes:
    """A document of one page; ``more`` are objects 5, 6 ..., ``held`` the content's whole object if it is no plain
    stream."""
    objects = {
        1: catalog,
        2: TREE,
        3: b"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << %s >> %s >>" % (resources, entries),
        4: stream(content) if held is None else held,
    }
    return document(objects | dict(enumerate(more, 5)), trailer=trailer)


def form(content: bytes, resources: bytes = b"", entries: bytes = b"") -> bytes:
    return stream(
        content, b"/Type /XObject /Subtype /Form /BBox [0 0 100 100] /Resources << %s >> %s" % (resources, entries)
    )


def image(data: bytes, width: int, height: int, entries: bytes) -> bytes:
    return stream(data, b"/Type /XObject /Subtype /Image /Width %d /Height %d %s" % (width, height, entries))
