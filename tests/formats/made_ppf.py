"""Job files with preview pictures, made for the tests (fields as the reader has them: memory of CIP3 PPF 3.0)."""

from __future__ import annotations

import base64
import io
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Dots = NDArray[np.uint8]
DPI = 50.8


def run_length(data: bytes) -> bytes:
    """Runs of equal bytes, and single ones in stretches (PostScript Language Reference, RunLengthEncode)."""
    out, at = bytearray(), 0
    while at < len(data):
        end = at
        while end < len(data) and end - at < 128 and data[end] == data[at]:
            end += 1
        if end - at > 1:
            out += bytes([257 - (end - at), data[at]])
        else:
            end = at + 1
            while end < len(data) and end - at < 128 and data[end] != data[end - 1]:
                end += 1
            out += bytes([end - at - 1]) + data[at:end]
        at = end
    return bytes(out) + b"\x80"


def jpeg(dots: Dots) -> bytes:
    from PIL import Image  # noqa: PLC0415 - heavy

    kept = io.BytesIO()
    shown = dots[..., 0] if dots.shape[2] == 1 else dots
    Image.fromarray(shown, "L" if dots.shape[2] == 1 else "CMYK").save(kept, "JPEG", quality=100, subsampling=0)
    return kept.getvalue()


def picture(
    stored: Dots,
    *,
    encoding: str = "ASCIIHexDecode",
    compression: str = "None",
    matrix: Sequence[float] | None = None,
    bits: int = 8,
    more: bytes = b"",
) -> bytes:
    """One picture; ``stored`` is ``rows x columns x components`` as it goes into the file."""
    rows, columns, components = stored.shape
    plain = np.packbits(stored[..., 0] > 127, axis=1).tobytes() if bits == 1 else stored.tobytes()
    data = {"None": lambda: plain, "RunLengthDecode": lambda: run_length(plain), "DCTDecode": lambda: jpeg(stored)}[
        compression
    ]()
    if encoding == "ASCIIHexDecode":
        data = data.hex().encode() + b">"
    elif encoding == "ASCII85Decode":
        data = base64.a85encode(data) + b"~>"
    told = matrix or (columns, 0, 0, -rows, 0, rows)
    fields = {
        "Width": columns,
        "Height": rows,
        "BitsPerComp": bits,
        "Components": components,
        "Matrix": "[" + " ".join(f"{each:g}" for each in told) + "]",
        "Resolution": f"[{DPI} {DPI}]",
        "Encoding": f"/{encoding}",
        "Compression": f"/{compression}",
    }
    written = "".join(f"/CIP3PreviewImage{name} {value} def\n" for name, value in fields.items())
    return written.encode() + more + b"CIP3PreviewImage\n" + data + b"\n"


def separations(inks: Sequence[Dots], **how: object) -> bytes:
    """Separations, ``inks`` 255 where full, stored as light."""
    parts = [picture(255 - each[..., None], **how) for each in inks]  # type: ignore[arg-type]
    inner = b"".join(b"CIP3BeginSeparation\n%sCIP3EndSeparation\n" % each for each in parts)
    return b"CIP3BeginPreviewImage\n%sCIP3EndPreviewImage\n" % inner


def job(*sides: bytes, names: Sequence[str] = ()) -> bytes:
    """A file with one sheet of one or two sides."""
    told = b"/CIP3AdmSeparationNames [%s] def\n" % b" ".join(b"(%s)" % each.encode("latin-1") for each in names)
    parts = [
        b"CIP3Begin%s\n%s%sCIP3End%s\n" % (side, told if names else b"", content, side)
        for side, content in zip((b"Front", b"Back"), sides, strict=False)
    ]
    head = b"%!PS-Adobe-3.0\n%%CIP3-File Version 3.0\n% a comment\nCIP3BeginSheet\n/CIP3AdmJobName (A job) def\n"
    return head + b"".join(parts) + b"CIP3EndSheet\n%%CIP3EndOfFile\n"
