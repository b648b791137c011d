"""Good PDFs with something of everything in them, and ways to damage them; for the tests and the longer campaign."""

# ruff: noqa: E501 - a piece of a file is better read whole
from __future__ import annotations

import random
import re
import time
from collections.abc import Iterable, Sequence
from functools import cache
from io import BytesIO
from pathlib import Path

import pikepdf

from filmsplit.formats.bounded_process import Bounds, Progress, bounded
from filmsplit.formats.coverage_options import CoverageOptions
from filmsplit.formats.pdf.asked import PdfAsked
from filmsplit.messages import Refusal
from formats.pdf.raw_pdf import HALF, document, form, image, page, stream
from formats.plate_mutations import damaged as bytes_damaged

READ, REFUSED, FAULT, STOPPED = "read", "refused", "fault", "stopped"
BOUNDS = Bounds(memory_bytes=3 * 2**30, seconds=240.0)
COARSE = CoverageOptions(pdf=PdfAsked(dpi=72.0))
NUMBERS = (b"0", b"-1", b"1", b"2147483647", b"-2147483648", b"4294967296", b"99999999999999999999", b"0.00001")
PIECES = (b"null", b"true", b"<<", b">>", b"[", b"]", b"()", b"<", b"/", b"stream", b"endobj", b"R", b"q", b"Q", b"Do")
TOKEN = re.compile(rb"/[A-Za-z0-9]+|-?\d+\.?\d*|[A-Za-z*]+|<<|>>|[\[\]]")

CONTENT = b"""/OC /L BDC /P0 gs 0.2 0.4 0 0 k 10 10 30 30 re f EMC
q /Gold cs 0.7 scn 1 0 0 1 2 2 cm 0 0 m 20 5 l 30 30 10 40 5 20 c h f* Q
/Pattern cs /T scn 50 50 20 20 re B
q 60 60 30 30 re W n /S sh Q
q 20 0 0 20 70 10 cm /I Do Q q 5 0 0 5 1 80 cm /M Do Q
BT /F 9 Tf 2 Tr 5 90 Td (ab) Tj [(a) -200 (b)] TJ ET
/F0 Do q /K gs 0 0 0 1 k 3 w [4 2] 0 d 0 55 m 100 60 l S Q
BI /W 4 /H 4 /BPC 8 /CS /G ID 0123456789abcdef
EI
"""
RESOURCES = (
    b"/ExtGState << /P0 << /OP true /op true /OPM 1 >> /K << /ca 0.5 /BM /Multiply /SMask << /S /Luminosity /G 7 0 R >> >> >> "
    b"/ColorSpace << /Gold [/Separation /Gold /DeviceCMYK 6 0 R] /X [/Indexed /DeviceRGB 1 <ff000000ff00>] >> "
    b"/Pattern << /T 8 0 R >> /Shading << /S << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [60 60 90 90] /Function 6 0 R "
    b"/Extend [true false] >> >> /XObject << /I 9 0 R /M 10 0 R /F0 5 0 R >> /Font << /F 11 0 R >> /Properties << /L 13 0 R >>"
)
LETTER = b"""<< /Type /Font /Subtype /Type3 /FontBBox [0 0 10 10] /FontMatrix [0.1 0 0 0.1 0 0] /FirstChar 97 /LastChar 98
/Widths [10 10] /Encoding << /Differences [97 /a /b] >> /CharProcs << /a 12 0 R /b 12 0 R >> /Resources << >> >>"""
OBJECTS = (
    form(b"0 1 0 0 k 0 0 5 100 re f", entries=b"/Group << /S /Transparency /I true /CS /DeviceCMYK >>"),
    b"<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0.3 1 0] /N 1.5 >>",
    form(b"0.5 g 0 0 100 100 re f", entries=b"/Group << /S /Transparency /CS /DeviceGray >>"),
    stream(
        b"1 0 0 0 k 0 0 3 3 re f",
        b"/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 5 5] /XStep 5 /YStep 5 /Resources << >>",
    ),
    image(bytes(range(48)), 4, 4, b"/BitsPerComponent 8 /ColorSpace /DeviceRGB /Decode [0 1 1 0 0 1]"),
    image(b"\xaa\x55" * 4, 8, 8, b"/BitsPerComponent 1 /ImageMask true"),
    LETTER,
    stream(b"10 0 d0 0 0 1 0 k 1 1 7 7 re f"),
    b"<< /Type /OCG /Name (Layer) >>",
)


@cache
def good_pdfs() -> tuple[tuple[str, bytes], ...]:
    """By name: one half of cyan; everything at once; that packed, with its objects in streams."""
    rich = page(CONTENT + HALF, RESOURCES, *OBJECTS, catalog=_layered())
    kept = BytesIO()
    with pikepdf.open(BytesIO(rich)) as pdf:
        pdf.save(kept, object_stream_mode=pikepdf.ObjectStreamMode.generate, recompress_flate=True)
    plain = document({1: b"<< /Type /Catalog /Pages 2 0 R >>", **_two_pages()})
    return (("of everything", rich), ("packed", kept.getvalue()), ("two pages", plain))


def _layered() -> bytes:
    return b"<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [13 0 R] /D << /OFF [13 0 R] >> >> >>"


def _two_pages() -> dict[int, bytes]:
    leaf = b"<< /Type /Page /Parent 2 0 R /Contents [4 0 R 5 0 R] /Rotate 90 /UserUnit 2 /TrimBox [5 5 95 95] >>"
    tree = b"<< /Type /Pages /Kids [3 0 R] /Count 1 /MediaBox [0 0 100 100] /Resources << >> >>"
    return {2: tree, 3: leaf, 4: stream(HALF), 5: stream(b"0 0 0 1 K 5 w 0 0 m 100 100 l S")}


def damaged(data: bytes, rng: random.Random) -> bytes:
    """Half of the time bytes are damaged, half of the time tokens are exchanged for others."""
    if rng.random() < 0.5:
        return bytes_damaged(data, rng)
    found = list(TOKEN.finditer(data))
    changed = data
    for each in sorted(rng.sample(found, min(len(found), rng.randint(1, 3))), key=lambda match: -match.start()):
        other = rng.choice(
            (rng.choice(NUMBERS), rng.choice(PIECES), rng.choice(found)[0], b"", each[0] + b" " + each[0])
        )
        changed = changed[: each.start()] + other + changed[each.end() :]
    return changed


Outcome = tuple[str, str, float]
"""What came of it, what was said (slugs, or the fault), and how long it took, seconds."""


def judged(folder: Path, files: Sequence[bytes]) -> list[Outcome]:
    """What comes of each file. They are read together in a process of their own; where that ends, each by itself."""
    paths = []
    for number, data in enumerate(files):
        paths.append(folder / f"{number}.pdf")
        paths[-1].write_bytes(data)
    try:
        return list(bounded(read_all, tuple(paths), file="several", bounds=BOUNDS))
    except Refusal as refusal:
        if len(files) == 1:
            return [(STOPPED, refusal.problems[0].slug, 0.0)]
    middle = len(files) // 2
    return judged(folder, files[:middle]) + judged(folder, files[middle:])


def read_all(paths: Iterable[Path], *, told: Progress) -> tuple[Outcome, ...]:
    """In the other process."""
    return tuple(_read(path, told) for path in paths)


def _read(path: Path, told: Progress) -> Outcome:
    from filmsplit.formats.pdf.read import read_pdf  # noqa: PLC0415 - only there

    told(0, 1)
    begun = time.monotonic()
    try:
        found = read_pdf(path, COARSE)
    except Refusal as refusal:
        problems = refusal.problems
        outcome, said = REFUSED, " ".join(each.slug for each in problems)
    except Exception as error:  # noqa: BLE001 - what must not happen is told
        return FAULT, repr(error)[:200], time.monotonic() - begun
    else:
        problems = found.notices
        outcome, said = READ, ""
        if not all(0 <= each.mean <= 1 for each in found.maps):
            return FAULT, "a share beyond 0 to 1", time.monotonic() - begun
    if not all(each.what and each.remedy for each in problems):
        return FAULT, "an empty message", time.monotonic() - begun
    return outcome, said, time.monotonic() - begun
