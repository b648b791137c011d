"""Where a picture is seen, as far as that hangs on samples of its own (ISO 32000-2, 8.9.6 and 11.6.5)."""

from __future__ import annotations

import numpy as np
from pikepdf import Dictionary, Name, Stream

from filmsplit.formats.pdf.colour import Numbers
from filmsplit.formats.pdf.deflated import Deflated
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import numbers_of, pairs_of
from filmsplit.formats.pdf.picture_grid import AT_ONCE
from filmsplit.formats.pdf.picture_planes import Blend
from filmsplit.formats.pdf.raster import Raster, raster

LEAST_OPAQUE = 1.0 / 255.0
"""Colours mixed with less than that can not be told from each other."""


def _new(image: Stream, data: bytes, entries: Dictionary) -> Stream:
    """A stream in the same document."""
    made: Stream = image.copy()  # type: ignore[assignment]
    for key in list(made.keys()):
        if key != "/Length":
            del made[key]
    made.write(data, filter=Name.FlateDecode)
    for key, value in entries.items():
        made[key] = value
    return made


def key_mask(image: Stream, found: Raster, *, components: int) -> Stream:
    """A stencil that leaves out the colours of a colour key."""
    bounds = pairs_of(image["/Mask"], count=components)
    packer = Deflated()
    for start in range(0, found.height, step := max(1, AT_ONCE // found.width)):
        samples = found.rows(start, min(found.height, start + step))[..., :components]
        left_out = ((samples >= bounds[:, 0]) & (samples <= bounds[:, 1])).all(axis=-1)
        packer.add(np.packbits(left_out, axis=1))
    size = {"/Width": found.width, "/Height": found.height, "/BitsPerComponent": 1, "/ImageMask": True}
    return _new(image, packer.data(), Dictionary({"/Type": Name.XObject, "/Subtype": Name.Image, **size}))


def opacity(image: Stream, found: Raster, *, component: int) -> Stream:
    """A soft mask of the channel that says how opaque a JPEG 2000 is."""
    packer = Deflated()
    for start in range(0, found.height, step := max(1, AT_ONCE // found.width)):
        samples = found.rows(start, min(found.height, start + step))[..., component]
        grey = np.rint(samples * (255.0 / (2.0**found.bits - 1.0))).astype(np.uint8)
        packer.add(grey)
    size = {"/Width": found.width, "/Height": found.height, "/BitsPerComponent": 8, "/ColorSpace": Name.DeviceGray}
    return _new(image, packer.data(), Dictionary({"/Type": Name.XObject, "/Subtype": Name.Image, **size}))


def unmixed(image: Stream, found: Raster, ledger: Ledger) -> Blend | None:
    """What takes a matte out of colours that were mixed with it (11.6.5.2); ``None``, noted, where it can not be."""
    mask = image["/SMask"]
    assert isinstance(mask, Stream)
    try:
        matte, opaque = numbers_of(mask["/Matte"], least=1), raster(mask, 1, ledger)
        low, high = pairs_of(mask["/Decode"], count=1)[0] if "/Decode" in mask else (0.0, 1.0)
    except Malformed:
        ledger.note("pdf-picture-matte")
        return None
    if (opaque.width, opaque.height) != (found.width, found.height):
        ledger.note("pdf-picture-matte")
        return None

    def undo(values: Numbers, start: int, stop: int) -> Numbers:
        if matte.size != values.shape[1]:
            raise Malformed("a matte of other components")
        share = opaque.rows(start, stop)[..., 0].reshape(-1, 1) / (2.0**opaque.bits - 1.0)
        alpha = np.maximum(low + share * (high - low), LEAST_OPAQUE)
        return np.asarray(matte + (values - matte) / alpha, dtype=np.float64)

    return undo
