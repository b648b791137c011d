"""Pictures of a page in grey for each ink (ISO 32000-2, 8.9.5)."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name, Object, Stream, String

from filmsplit.formats.pdf.colour import Bounds, Colours, Space
from filmsplit.formats.pdf.deflated import WHITE, Deflated
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.numbers_of import pairs_of, whole_of
from filmsplit.formats.pdf.picture_grid import grid_for
from filmsplit.formats.pdf.picture_headers import (
    JPX_CMYK,
    JPX_GREY,
    JPX_SRGB,
    JPX_SYCC,
    jpeg_header,
    jpx_header,
)
from filmsplit.formats.pdf.picture_masks import key_mask, opacity, unmixed
from filmsplit.formats.pdf.picture_planes import Reading, planes
from filmsplit.formats.pdf.raster import Raster, raster, size_of
from filmsplit.formats.pdf.unpacked import filters_of, packed

TWO_TONES = ("/CCITTFaxDecode", "/JBIG2Decode")
JPX_SPACES = {JPX_GREY: Name.DeviceGray, JPX_SRGB: Name.DeviceRGB, JPX_SYCC: Name.DeviceRGB, JPX_CMYK: Name.DeviceCMYK}
BY_COUNT = {1: Name.DeviceGray, 2: Name.DeviceGray, 3: Name.DeviceRGB, 4: Name.DeviceRGB}
"""What a JPEG 2000 with no space of its own is taken for; a fourth channel is how opaque it is."""
DROPPED = (
    "/Alternates",
    "/OPI",
    "/Metadata",
    "/Intent",
    "/SMaskInData",
    "/StructParent",
    "/Decode",
    "/OC",
    "/ID",
    "/Interpolate",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TablePicture:
    """A picture of one component: its data stay as they are, a table of 256 greys at most is told for each ink."""

    image: Stream
    inks: frozenset[int]
    greys: NDArray[np.uint8]

    def grey(self, plane: int) -> Stream | None:
        """The picture for one plane; ``None`` where no sample gives it ink."""
        column = self.greys[:, plane]
        return None if (column == WHITE).all() else self._with(column)

    def white(self) -> Stream:
        """A white picture of the same shape: what a colour key leaves out of it depends on its samples."""
        return self._with(np.full(len(self.greys), WHITE, dtype=np.uint8))

    def _with(self, column: NDArray[np.uint8]) -> Stream:
        made = _bare_copy(self.image)
        made["/ColorSpace"] = Array([Name.Indexed, Name.DeviceGray, len(column) - 1, String(column.tobytes())])
        return made


@dataclass(frozen=True, slots=True, kw_only=True)
class DotPicture:
    """A picture of several components: grey dots of their own for each ink."""

    image: Stream
    inks: frozenset[int]
    size: tuple[int, int]
    planes: dict[int, Deflated]

    def grey(self, plane: int) -> Stream | None:
        """The picture for one plane; ``None`` where it is white."""
        found = self.planes.get(plane)
        return None if found is None or found.is_white else _grey_copy(self.image, found.data(), self.size)

    def white(self) -> Stream:
        """A white picture of the same shape; its masks are what shape it."""
        return _grey_copy(self.image, bytes([WHITE]), (1, 1), is_packed=False)


InkPicture = TablePicture | DotPicture


def _bare_copy(image: Stream) -> Stream:
    """The same data, without what only matters to the colours of the original."""
    made: Stream = image.copy()  # type: ignore[assignment]
    for key in DROPPED:
        if key in made:
            del made[key]
    return made


def _grey_copy(image: Stream, data: bytes, size: tuple[int, int], *, is_packed: bool = True) -> Stream:
    """Eight bits of grey, with the shape of the original."""
    made = _bare_copy(image)
    made.write(data, filter=Name.FlateDecode if is_packed else None)
    made["/Width"], made["/Height"] = size
    made["/BitsPerComponent"], made["/ColorSpace"] = 8, Name.DeviceGray
    return made


def ink_picture(
    image: Stream, colours: Colours, resources: Object, *, drawn: tuple[float, float] | None = None
) -> InkPicture:
    """A picture that is no stencil, for each ink. ``drawn`` are the dots across and down over which it will be drawn;
    it is made coarser then, to what the drawing library repeats. Raises ``Malformed``; what is refused is told to the
    ledger as well."""
    with _noted_once(colours) as counted:
        width, height = size_of(image, counted.ledger)
        _note_mask(image, counted.ledger)
        names = [name for name, _ in filters_of(image)]
        space = _space(image, counted, resources)
        if space is None or space.components != 1 or _bits(image, names) > 8 or _is_mixed(image):
            return _by_dots(image, space, counted, drawn=drawn)
        if not grid_for(width, height, drawn).is_whole:
            try:
                return _by_dots(image, space, counted, drawn=drawn)
            except Malformed:  # the drawing library may know more packings, and takes what is cut short
                pass
        return _by_table(image, space, names)


def _space(image: Stream, colours: Colours, resources: Object) -> Space | None:
    """``None`` for a JPEG 2000 that tells its colours itself."""
    told = image.get("/ColorSpace")
    if told is not None:
        return colours.space_of(told, resources)
    if "/JPXDecode" not in [name for name, _ in filters_of(image)]:
        raise Malformed("a picture without a colour space")
    return None


@contextmanager
def _noted_once(colours: Colours) -> Iterator[Colours]:
    """Colours whose notes are told once a picture, however many bands it has."""
    counted = colours.noting(Ledger(page=colours.ledger.page))
    try:
        yield counted
    finally:
        for each in counted.ledger.problems():
            colours.ledger.note(each.slug, **{k: v for k, v in each.values.items() if k not in ("page", "times")})


def _note_mask(image: Stream, ledger: Ledger) -> None:
    mask = image.get("/SMask")
    if isinstance(mask, Stream) and mask.get("/ColorSpace", Name.DeviceGray) != Name.DeviceGray:
        ledger.note("pdf-soft-mask-not-grey")


def _bits(image: Stream, names: list[str]) -> int:
    if names and names[-1] in TWO_TONES:
        return 1
    if names and names[-1] == "/DCTDecode":
        return 8
    if names and names[-1] == "/JPXDecode":
        return 16
    return whole_of(image.get("/BitsPerComponent"), least=1, most=16)


def _is_mixed(image: Stream) -> bool:
    mask = image.get("/SMask")
    return isinstance(mask, Stream) and "/Matte" in mask


def _check_jpeg(image: Stream, names: list[str]) -> None:
    """A JPEG that stays packed must have the one component that its space has."""
    if names and names[-1] == "/DCTDecode":
        found = packed(image, most=1 << 30)
        if jpeg_header(found.data).components != 1:
            raise Malformed("a JPEG of other colours than its space")


def _bounds(image: Stream, space: Space, bits: int) -> Bounds:
    if "/Decode" not in image:
        return space.bounds(bits)
    return tuple((float(low), float(high)) for low, high in pairs_of(image["/Decode"], count=space.components))


def _by_table(image: Stream, space: Space, names: list[str]) -> TablePicture:
    _check_jpeg(image, names)
    bits = _bits(image, names)
    reading = Reading(space=space, bounds=_bounds(image, space, bits), bits=bits)
    return TablePicture(image=image, inks=space.inks, greys=reading.greys())


def _by_dots(image: Stream, space: Space | None, colours: Colours, *, drawn: tuple[float, float] | None) -> DotPicture:
    found = raster(image, 0 if space is None else space.components, colours.ledger)
    if space is None:
        space = _jpx_space(image, found, colours)
    if found.components < space.components:
        raise Malformed("a picture of fewer components than its space")
    reading = Reading(space=space, bounds=_bounds(image, space, found.bits), bits=found.bits)
    if _is_mixed(image):
        reading = replace(reading, unmixed=unmixed(image, found, colours.ledger))
    grid = grid_for(found.width, found.height, drawn)
    made = planes(found, reading, grid)
    found.note_end(colours.ledger)
    return DotPicture(image=_shaped(image, found, space), inks=space.inks, size=grid.size, planes=made)


def _jpx_space(image: Stream, found: Raster, colours: Colours) -> Space:
    """The space a JPEG 2000 tells itself."""
    told = jpx_header(packed(image, most=1 << 30).data).space
    if told == JPX_SYCC or told not in JPX_SPACES:
        colours.ledger.note("pdf-jpx-colour-guessed")
    named = JPX_SPACES.get(told, BY_COUNT.get(found.components))
    if named is None:
        raise Malformed("a JPEG 2000 in unknown colours")
    return colours.space_of(named, Dictionary())


def _shaped(image: Stream, found: Raster, space: Space) -> Stream:
    """A copy whose masks do not need the samples of the original."""
    made = image
    if isinstance(image.get("/Mask"), Array):
        made = image.copy()  # type: ignore[assignment]
        made["/Mask"] = key_mask(image, found, components=space.components)
    if "/SMask" not in image and int(image.get("/SMaskInData", 0)) and found.components > space.components:
        made = image.copy()  # type: ignore[assignment]
        made["/SMask"] = opacity(image, found, component=space.components)
    if _is_mixed(image):
        made = made.copy()  # type: ignore[assignment]
        mask = image["/SMask"].copy()
        del mask["/Matte"]
        made["/SMask"] = mask
    return made
