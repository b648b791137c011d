"""Pictures in every colour space and packing, as grey for each ink, drawn by the library that draws pages.

Source: ISO 32000-2, 8.9.5 (pictures), 7.4 (filters), 8.9.6 (masks), 11.6.5 (soft masks, mattes).
"""

from __future__ import annotations

import os
import zlib
from io import BytesIO
from typing import Any

import imagecodecs
import numpy as np
import pikepdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name
from PIL import Image

from filmsplit.formats.pdf.conversion import Conversion, Way
from filmsplit.formats.pdf.inks import Inks
from filmsplit.formats.pdf.ledger import Ledger
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.pictures import DotPicture, InkPicture, TablePicture, ink_picture
from filmsplit.formats.pdf.spaces import PageColours, ink_colours
from formats.pdf.drawn_grey import cells, drawn_picture

WITHIN = 1.01 / 255
"""One grey of 256."""
EXAMPLES = int(os.environ.get("FILMSPLIT_FUZZ_EXAMPLES", "100"))
QUICK = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
ROWS, COLUMNS = 4, 5
Samples = NDArray[np.uint8]


def colours(*spots: str) -> PageColours:
    return ink_colours(Inks(spots=spots), ledger=Ledger(), conversion=Conversion(way=Way.PLAIN))


def noted(of: PageColours) -> set[str]:
    return {each.slug for each in of.ledger.problems()}


def samples(components: int, bits: int = 8, seed: int = 5) -> NDArray[np.int64]:
    return np.random.default_rng(seed).integers(0, 2**bits, (ROWS, COLUMNS, components))


def bits_of(values: NDArray[np.int64], bits: int) -> bytes:
    """Rows of samples, each padded to whole bytes."""
    lines = []
    for row in values.reshape(values.shape[0], -1):
        text = "".join(format(int(each), f"0{bits}b") for each in row)
        text += "0" * (-len(text) % 8)
        lines.append(bytes(int(text[at : at + 8], 2) for at in range(0, len(text), 8)))
    return b"".join(lines)


def image(pdf: pikepdf.Pdf, data: bytes, space: Any, bits: int = 8, **entries: Any) -> pikepdf.Stream:
    made = pdf.make_stream(zlib.compress(data))
    told = {"Type": Name.XObject, "Subtype": Name.Image, "Width": COLUMNS, "Height": ROWS, "BitsPerComponent": bits}
    for key, value in {"Filter": Name.FlateDecode, **told, "ColorSpace": space, **entries}.items():
        if value is not None:
            made[f"/{key}"] = value
    return made


def ink_at(pdf: pikepdf.Pdf, picture: InkPicture, plane: int) -> NDArray[np.float64]:
    """Amounts of one ink by cell, as drawn."""
    grey = picture.grey(plane)
    if grey is None:
        return np.zeros((ROWS, COLUMNS))
    return 1 - cells(drawn_picture(pdf, grey), ROWS, COLUMNS)


def all_inks(pdf: pikepdf.Pdf, picture: InkPicture, count: int = 4) -> NDArray[np.float64]:
    return np.stack([ink_at(pdf, picture, plane) for plane in range(count)], axis=-1)


def gold(pdf: pikepdf.Pdf, name: str = "Gold") -> Array:
    tint = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[0, 0.3, 1, 0.1], N=1)
    return Array([Name.Separation, Name(f"/{name}"), Name.DeviceCMYK, pdf.make_indirect(tint)])


@pytest.mark.parametrize("bits", [1, 2, 4, 8, 16])
def test_grey_of_every_depth(bits: int) -> None:
    pdf, values = pikepdf.new(), samples(1, bits)
    picture = ink_picture(image(pdf, bits_of(values, bits), Name.DeviceGray, bits), colours(), Dictionary())
    assert isinstance(picture, TablePicture if bits <= 8 else DotPicture)
    wanted = 1 - values[..., 0] / (2**bits - 1)
    assert ink_at(pdf, picture, 3) == pytest.approx(wanted, abs=WITHIN)
    assert picture.grey(0) is None
    assert picture.inks == frozenset(range(4))


@pytest.mark.parametrize("bits", [1, 2, 4, 8, 16])
def test_four_inks_of_every_depth(bits: int) -> None:
    pdf, values = pikepdf.new(), samples(4, bits)
    picture = ink_picture(image(pdf, bits_of(values, bits), Name.DeviceCMYK, bits), colours(), Dictionary())
    assert all_inks(pdf, picture) == pytest.approx(values / (2**bits - 1), abs=WITHIN)


def test_data_of_one_component_stay_packed() -> None:
    pdf, values = pikepdf.new(), samples(1)
    original = image(pdf, bits_of(values, 8), gold(pdf))
    picture = ink_picture(original, colours("Gold"), Dictionary())
    grey = picture.grey(4)
    assert grey is not None
    assert grey.read_raw_bytes() == original.read_raw_bytes()
    assert ink_at(pdf, picture, 4) == pytest.approx(values[..., 0] / 255, abs=WITHIN)
    assert picture.inks == frozenset({4})
    assert original["/ColorSpace"] == gold(pdf)


@pytest.mark.parametrize("decode", [[1, 0], [0.2, 0.6]])
def test_decode_of_one_component(decode: list[float]) -> None:
    pdf, values = pikepdf.new(), samples(1)
    picture = ink_picture(
        image(pdf, bits_of(values, 8), Name.DeviceGray, Decode=Array(decode)), colours(), Dictionary()
    )
    wanted = 1 - (decode[0] + values[..., 0] / 255 * (decode[1] - decode[0]))
    assert ink_at(pdf, picture, 3) == pytest.approx(wanted, abs=WITHIN)


def test_decode_of_four_components() -> None:
    pdf, values = pikepdf.new(), samples(4)
    told = [1, 0, 0, 1, 0, 0.5, 0.5, 1]
    picture = ink_picture(image(pdf, bits_of(values, 8), Name.DeviceCMYK, Decode=Array(told)), colours(), Dictionary())
    low, high = np.array(told).reshape(4, 2).T
    assert all_inks(pdf, picture) == pytest.approx(low + values / 255 * (high - low), abs=WITHIN)


@pytest.mark.parametrize("bits", [1, 2, 4, 8])
def test_tables_of_colours(bits: int) -> None:
    pdf, values = pikepdf.new(), samples(1, bits)
    table = np.random.default_rng(9).integers(0, 256, (2**bits, 4)).astype(np.uint8)
    space = Array([Name.Indexed, Name.DeviceCMYK, 2**bits - 1, pikepdf.String(table.tobytes())])
    picture = ink_picture(image(pdf, bits_of(values, bits), space, bits), colours(), Dictionary())
    assert all_inks(pdf, picture) == pytest.approx(table[values[..., 0]] / 255, abs=WITHIN)


def test_a_table_read_backwards() -> None:
    pdf, values = pikepdf.new(), samples(1, 4)
    table = np.arange(16, dtype=np.uint8) * 17
    space = Array([Name.Indexed, Name.DeviceGray, 15, pikepdf.String(table.tobytes())])
    picture = ink_picture(image(pdf, bits_of(values, 4), space, 4, Decode=Array([15, 0])), colours(), Dictionary())
    assert ink_at(pdf, picture, 3) == pytest.approx(1 - (15 - values[..., 0]) / 15, abs=WITHIN)


def test_a_mixture_of_inks() -> None:
    pdf, values = pikepdf.new(), samples(3)
    tint = pdf.make_stream(b"{ 0 }")
    tint["/FunctionType"], tint["/Domain"], tint["/Range"] = 4, Array([0, 1] * 3), Array([0, 1] * 4)
    space = Array([Name.DeviceN, Array([Name.Gold, Name.Black, Name.Silver]), Name.DeviceCMYK, tint])
    picture = ink_picture(image(pdf, bits_of(values, 8), space), colours("Silver", "Gold"), Dictionary())
    found = all_inks(pdf, picture, 6)
    assert found[..., [5, 3, 4]] == pytest.approx(values / 255, abs=WITHIN)
    assert not found[..., :3].any()
    assert picture.inks == frozenset({3, 4, 5})


def test_rgb_and_lab_as_their_colours_are() -> None:
    pdf, values = pikepdf.new(), samples(3)
    of = colours()
    lab = Array([Name.Lab, Dictionary(WhitePoint=[0.9642, 1, 0.8249], Range=[-60, 60, -40, 40])])
    for space in (Name.DeviceRGB, lab):
        picture = ink_picture(image(pdf, bits_of(values, 8), space), of, Dictionary())
        known = of.space_of(space, Dictionary())
        low, high = np.array(known.bounds(8)).T
        wanted = known.amounts(low + values.reshape(-1, 3) / 255 * (high - low)).reshape(ROWS, COLUMNS, 4)
        assert all_inks(pdf, picture) == pytest.approx(wanted, abs=WITHIN)
    assert [each.slug for each in of.ledger.problems()] == ["pdf-rgb-plain"]


def test_notes_are_told_once_a_picture() -> None:
    pdf, of = pikepdf.new(), colours()
    large = pdf.make_stream(bytes(1200 * 900 * 3))
    for key, value in {"Width": 1200, "Height": 900, "BitsPerComponent": 8, "ColorSpace": Name.DeviceRGB}.items():
        large[f"/{key}"] = value
    ink_picture(large, of, Dictionary())
    assert [each.values["times"] for each in of.ledger.problems()] == [1]


PREDICTORS = {"none": 1, "TIFF": 2, "PNG": 15}


@pytest.mark.parametrize("components", [1, 4])
@pytest.mark.parametrize("kind", PREDICTORS)
def test_predictors(kind: str, components: int) -> None:
    pdf, values = pikepdf.new(), samples(components)
    flat = values.reshape(ROWS, -1)
    lines = flat.astype(np.uint8)
    if kind == "TIFF":
        lines = np.diff(flat.reshape(ROWS, COLUMNS, components), axis=1, prepend=0).reshape(ROWS, -1).astype(np.uint8)
    if kind == "PNG":  # each row less the one above it
        up = np.diff(flat, axis=0, prepend=0).astype(np.uint8)
        lines = np.concatenate([np.full((ROWS, 1), 2, dtype=np.uint8), up], axis=1)
    told = Dictionary(Predictor=PREDICTORS[kind], Columns=COLUMNS, Colors=components, BitsPerComponent=8)
    space = Name.DeviceGray if components == 1 else Name.DeviceCMYK
    picture = ink_picture(image(pdf, lines.tobytes(), space, DecodeParms=told), colours(), Dictionary())
    if components == 1:
        assert ink_at(pdf, picture, 3) == pytest.approx(1 - values[..., 0] / 255, abs=WITHIN)
    else:
        assert all_inks(pdf, picture) == pytest.approx(values / 255, abs=WITHIN)


def packed_otherwise(data: bytes) -> dict[str, tuple[bytes, Any]]:
    runs = b"".join(bytes([len(data[at : at + 100]) - 1]) + data[at : at + 100] for at in range(0, len(data), 100))
    return {
        "hexadecimal": (data.hex().encode() + b">", Name.ASCIIHexDecode),
        "runs": (runs + b"\x80", Name.RunLengthDecode),
        "LZW": (imagecodecs.lzw_encode(data), Name.LZWDecode),
        "two": (zlib.compress(data).hex().encode() + b">", Array([Name.ASCIIHexDecode, Name.FlateDecode])),
        "short names": (zlib.compress(data).hex().encode() + b">", Array([Name.AHx, Name.Fl])),
        "not at all": (data, None),
    }


@pytest.mark.parametrize("kind", packed_otherwise(b""))
def test_other_filters(kind: str) -> None:
    pdf, values = pikepdf.new(), samples(4)
    data, told = packed_otherwise(bits_of(values, 8))[kind]
    made = image(pdf, b"", Name.DeviceCMYK, Filter=None)
    made.write(data)
    if told is None:
        made = image(pdf, b"", Name.DeviceCMYK)
        made.write(data)
    else:
        made["/Filter"] = told
    assert all_inks(pdf, ink_picture(made, colours(), Dictionary())) == pytest.approx(values / 255, abs=WITHIN)


def blocks(components: int) -> Samples:
    """Dots of 16 x 16 a cell, so that a JPEG keeps their middles."""
    values = np.random.default_rng(5).integers(20, 235, (ROWS, COLUMNS, components))
    return np.repeat(np.repeat(values, 16, axis=0), 16, axis=1).astype(np.uint8)


def jpeg_image(pdf: pikepdf.Pdf, data: bytes, space: Any, **entries: Any) -> pikepdf.Stream:
    made = image(pdf, b"", space, Width=COLUMNS * 16, Height=ROWS * 16, **entries)
    made.write(data, filter=Name.DCTDecode, decode_parms=entries.get("DecodeParms"))
    return made


JPEG_WITHIN = 4 / 255
"""A JPEG of quality 100 keeps even blocks to some greys, turned into luminance and chrominance and back."""


@pytest.mark.parametrize("turned", ["CMYK", "YCCK"])
def test_jpegs_of_four_inks(turned: str) -> None:
    pdf, dots = pikepdf.new(), blocks(4)
    data = imagecodecs.jpeg8_encode(dots, level=100, colorspace="CMYK", outcolorspace=turned, subsampling="444")
    picture = ink_picture(jpeg_image(pdf, data, Name.DeviceCMYK), colours(), Dictionary())
    assert all_inks(pdf, picture) == pytest.approx(dots[8::16, 8::16] / 255, abs=JPEG_WITHIN)


def test_jpegs_of_inverted_inks_are_told_by_their_decode_array() -> None:
    """A general picture library writes them so, with the marker of the maker that began it."""
    pdf, dots, held = pikepdf.new(), blocks(4), BytesIO()
    Image.fromarray(dots, "CMYK").save(held, "JPEG", quality=100, subsampling=0)
    picture = ink_picture(
        jpeg_image(pdf, held.getvalue(), Name.DeviceCMYK, Decode=Array([1, 0] * 4)), colours(), Dictionary()
    )
    assert all_inks(pdf, picture) == pytest.approx(dots[8::16, 8::16] / 255, abs=JPEG_WITHIN)


def test_jpegs_of_grey_stay_packed() -> None:
    pdf, dots = pikepdf.new(), blocks(1)
    data = imagecodecs.jpeg8_encode(dots[..., 0], level=100)
    picture = ink_picture(jpeg_image(pdf, data, gold(pdf)), colours("Gold"), Dictionary())
    assert isinstance(picture, TablePicture)
    assert ink_at(pdf, picture, 4) == pytest.approx(dots[8::16, 8::16, 0] / 255, abs=JPEG_WITHIN)


@pytest.mark.parametrize("is_told", [True, False])
def test_jpegs_of_rgb_and_what_is_told_about_them(is_told: bool) -> None:
    pdf, dots, of = pikepdf.new(), blocks(3), colours()
    data = imagecodecs.jpeg8_encode(dots, level=100, subsampling="444")
    if not is_told:  # luminance and chrominance are to be taken as they are
        data = _without_jfif(data)
        dots = imagecodecs.jpeg8_decode(data, colorspace="RGB", outcolorspace="RGB")
    parameters = None if is_told else Dictionary(ColorTransform=0)
    picture = ink_picture(jpeg_image(pdf, data, Name.DeviceRGB, DecodeParms=parameters), of, Dictionary())
    values = dots[8::16, 8::16].reshape(-1, 3) / 255
    wanted = of.space_of(Name.DeviceRGB, Dictionary()).amounts(values).reshape(ROWS, COLUMNS, 4)
    assert all_inks(pdf, picture) == pytest.approx(wanted, abs=2 * JPEG_WITHIN)


def _without_jfif(data: bytes) -> bytes:
    """The same JPEG without its first segment."""
    assert data[2:4] == b"\xff\xe0"
    return data[:2] + data[4 + int.from_bytes(data[4:6], "big") :]


def jpx_image(pdf: pikepdf.Pdf, data: bytes, **entries: Any) -> pikepdf.Stream:
    made = image(pdf, b"", None, BitsPerComponent=None, **entries)
    made.write(data, filter=Name.JPXDecode)
    return made


@pytest.mark.parametrize("bits", [8, 12, 16])
def test_jpeg_2000_in_a_space_that_is_told(bits: int) -> None:
    pdf, values = pikepdf.new(), samples(4, bits)
    dots = values.astype(np.uint8 if bits == 8 else np.uint16)
    data = imagecodecs.jpeg2k_encode(dots, level=0, reversible=True, bitspersample=bits, codecformat="j2k", mct=False)
    picture = ink_picture(jpx_image(pdf, data, ColorSpace=Name.DeviceCMYK), colours(), Dictionary())
    assert all_inks(pdf, picture) == pytest.approx(values / (2**bits - 1), abs=WITHIN)


def test_jpeg_2000_that_tells_its_space_itself() -> None:
    pdf, values, of = pikepdf.new(), samples(3), colours()
    data = imagecodecs.jpeg2k_encode(values.astype(np.uint8), level=0, reversible=True, codecformat="jp2")
    picture = ink_picture(jpx_image(pdf, data), of, Dictionary())
    wanted = of.space_of(Name.DeviceRGB, Dictionary()).amounts(values.reshape(-1, 3) / 255)
    assert all_inks(pdf, picture) == pytest.approx(wanted.reshape(ROWS, COLUMNS, 4), abs=WITHIN)


def test_jpeg_2000_with_a_channel_of_opacity() -> None:
    pdf, values = pikepdf.new(), samples(2)
    data = imagecodecs.jpeg2k_encode(values.astype(np.uint8), level=0, reversible=True, codecformat="j2k", mct=False)
    made = jpx_image(pdf, data, ColorSpace=Name.DeviceGray, SMaskInData=1)
    grey = ink_picture(made, colours(), Dictionary()).grey(3)
    found = cells(drawn_picture(pdf, grey), ROWS, COLUMNS)
    opaque = values[..., 1] / 255
    assert found == pytest.approx(1 - opaque + opaque * values[..., 0] / 255, abs=2 * WITHIN)


def test_two_tones_stay_packed() -> None:
    """Fax group 4 as a general library writes it."""
    pdf, values = pikepdf.new(), samples(1, 1)
    held = BytesIO()
    Image.fromarray(values[..., 0].astype(bool)).save(held, "TIFF", compression="group4")
    with Image.open(held) as picture_:
        offset, length = picture_.tag_v2[273][0], picture_.tag_v2[279][0]
        zero_is_white = picture_.tag_v2[262] == 0
    made = image(pdf, b"", gold(pdf), 1)
    told = Dictionary(K=-1, Columns=COLUMNS, Rows=ROWS, BlackIs1=False)
    made.write(held.getvalue()[offset : offset + length], filter=Name.CCITTFaxDecode, decode_parms=told)
    picture = ink_picture(made, colours("Gold"), Dictionary())
    # A bit not set is a white run (TIFF 6.0, section 11), and white runs are samples of 1 (ISO 32000-2, table 11).
    wanted = values[..., 0] if zero_is_white else 1 - values[..., 0]
    assert ink_at(pdf, picture, 4) == pytest.approx(wanted, abs=WITHIN)


# Masks


@pytest.mark.parametrize("bits", [4, 8])
def test_colour_keys_of_one_component_are_kept(bits: int) -> None:
    pdf, values = pikepdf.new(), samples(1, bits)
    key = [0, 2 ** (bits - 1) - 1]
    picture = ink_picture(
        image(pdf, bits_of(values, bits), Name.DeviceGray, bits, Mask=Array(key)), colours(), Dictionary()
    )
    found = cells(drawn_picture(pdf, picture.grey(3), b"0.5 g 0 0 100 100 re f "), ROWS, COLUMNS)
    shown = values[..., 0] > key[1]
    assert found == pytest.approx(np.where(shown, values[..., 0] / (2**bits - 1), 0.5), abs=WITHIN)
    white = cells(drawn_picture(pdf, picture.white(), b"0.5 g 0 0 100 100 re f "), ROWS, COLUMNS)
    assert white == pytest.approx(np.where(shown, 1.0, 0.5), abs=WITHIN)


def test_colour_keys_of_four_components_become_stencils() -> None:
    pdf, values = pikepdf.new(), samples(4)
    values[1, 2] = values[3, 4] = (10, 20, 30, 40)
    key = Array([10, 10, 15, 25, 0, 255, 40, 41])
    picture = ink_picture(image(pdf, bits_of(values, 8), Name.DeviceCMYK, Mask=key), colours(), Dictionary())
    is_out = np.zeros((ROWS, COLUMNS), dtype=bool)
    is_out[1, 2] = is_out[3, 4] = True
    for made, wanted in ((picture.grey(0), 1 - values[..., 0] / 255), (picture.white(), np.ones((ROWS, COLUMNS)))):
        found = cells(drawn_picture(pdf, made, b"0.5 g 0 0 100 100 re f "), ROWS, COLUMNS)
        assert found == pytest.approx(np.where(is_out, 0.5, wanted), abs=2 * WITHIN)


def soft_mask(pdf: pikepdf.Pdf, values: NDArray[np.int64], **entries: Any) -> pikepdf.Stream:
    return image(pdf, bits_of(values, 8), Name.DeviceGray, **entries)


@pytest.mark.parametrize("components", [1, 4])
def test_soft_masks_are_kept(components: int) -> None:
    pdf, values, opaque = pikepdf.new(), samples(components), samples(1, seed=8)
    space = Name.DeviceGray if components == 1 else Name.DeviceCMYK
    picture = ink_picture(image(pdf, bits_of(values, 8), space, SMask=soft_mask(pdf, opaque)), colours(), Dictionary())
    light = values[..., 0] / 255 if components == 1 else 1 - values[..., 3] / 255
    alpha = opaque[..., 0] / 255
    assert ink_at(pdf, picture, 3) == pytest.approx(1 - (alpha * light + 1 - alpha), abs=2 * WITHIN)
    white = cells(drawn_picture(pdf, picture.white(), b"0 g 0 0 100 100 re f "), ROWS, COLUMNS)
    assert white == pytest.approx(alpha, abs=2 * WITHIN)


@pytest.mark.parametrize("components", [1, 4])
def test_mattes_are_taken_out(components: int) -> None:
    """Colours mixed with the matte by the mask give themselves back: c' = m + alpha (c - m)."""
    pdf, opaque = pikepdf.new(), np.maximum(samples(1, seed=8), 120)
    values = samples(components)
    matte = np.full(components, 0.2)
    alpha = opaque / 255
    mixed = np.rint(255 * (matte + alpha * (values / 255 - matte))).astype(np.int64)
    space = Name.DeviceGray if components == 1 else Name.DeviceCMYK
    mask = soft_mask(pdf, opaque, Matte=Array([0.2] * components))
    picture = ink_picture(image(pdf, bits_of(mixed, 8), space, SMask=mask), colours(), Dictionary())
    light = values[..., 0] / 255 if components == 1 else 1 - values[..., 3] / 255
    wanted = 1 - (alpha[..., 0] * light + 1 - alpha[..., 0])
    assert ink_at(pdf, picture, 3) == pytest.approx(wanted, abs=3 * WITHIN)
    grey = picture.grey(3)
    assert grey is not None
    assert "/Matte" not in grey["/SMask"]
    assert "/Matte" in mask


def test_a_matte_of_another_size_is_told() -> None:
    pdf, of = pikepdf.new(), colours()
    mask = soft_mask(pdf, samples(1), Matte=Array([0.0]), Width=2, Height=ROWS)
    ink_picture(image(pdf, bits_of(samples(1), 8), Name.DeviceGray, SMask=mask), of, Dictionary())
    assert noted(of) == {"pdf-picture-matte"}


# Size


def noise(rows: int, columns: int, components: int) -> Samples:
    return np.random.default_rng(4).integers(0, 256, (rows, columns, components)).astype(np.uint8)


def test_pictures_finer_than_needed_are_reduced_to_means() -> None:
    pdf, dots = pikepdf.new(), noise(300, 405, 4)
    made = image(pdf, dots.tobytes(), Name.DeviceCMYK, Width=405, Height=300)
    # Drawn over a dot each, boxes of three by three leave a ninth as many as are drawn.
    grey = ink_picture(made, colours(), Dictionary(), drawn=(405, 300)).grey(1)
    assert grey is not None
    assert (int(grey["/Width"]), int(grey["/Height"])) == (135, 100)
    found = np.frombuffer(grey.read_bytes(), dtype=np.uint8).reshape(100, 135)
    wanted = 255 - dots[..., 1].reshape(100, 3, 135, 3).mean(axis=(1, 3))
    assert found == pytest.approx(wanted, abs=0.51)


@pytest.mark.parametrize("drawn", [(250.0, 30.0), (1e9, 1e9), (1e-3, 1e-3), (173.2, 301.7)])
def test_any_reduction_keeps_the_mean(drawn: tuple[float, float]) -> None:
    pdf, dots = pikepdf.new(), noise(301, 402, 4)
    made = image(pdf, dots.tobytes(), Name.DeviceCMYK, Width=402, Height=301)
    grey = ink_picture(made, colours(), Dictionary(), drawn=drawn).grey(1)
    assert grey is not None
    size = int(grey["/Height"]), int(grey["/Width"])
    found = np.frombuffer(grey.read_bytes(), dtype=np.uint8).reshape(size)
    assert found.mean() == pytest.approx(255 - dots[..., 1].mean(), abs=0.5)
    assert size[0] <= 301
    assert size[1] <= 402


@pytest.mark.parametrize("bits", [1, 8])
@pytest.mark.parametrize("side", [70, 100, 101, 257, 900])
def test_means_of_drawn_pictures_are_true(side: int, bits: int) -> None:
    """Taken as they are, the drawing library would lose up to 0.005."""
    pdf, random = pikepdf.new(), np.random.default_rng(side)
    values = random.integers(0, 2**bits, (side, side, 1))
    made = image(pdf, bits_of(values, bits), Name.DeviceGray, bits, Width=side, Height=side)
    picture = ink_picture(made, colours(), Dictionary(), drawn=(100, 100))
    grey = picture.grey(3)
    assert grey is not None
    lost = drawn_picture(pdf, grey).mean() - values.mean() / (2**bits - 1)
    assert abs(lost) < 0.002
    assert picture.inks == frozenset(range(4))


def test_pictures_coarser_than_drawn_stay_packed() -> None:
    pdf, values = pikepdf.new(), samples(1)
    picture = ink_picture(image(pdf, bits_of(values, 8), Name.DeviceGray), colours(), Dictionary(), drawn=(100, 100))
    assert isinstance(picture, TablePicture)


def test_masks_of_reduced_pictures_keep_their_dots() -> None:
    pdf, dots = pikepdf.new(), noise(200, 200, 1)
    made = image(pdf, dots.tobytes(), Name.DeviceGray, Width=200, Height=200, Mask=Array([0, 127]))
    grey = ink_picture(made, colours(), Dictionary(), drawn=(100, 100)).grey(3)
    assert grey is not None
    stencil = np.unpackbits(np.frombuffer(grey["/Mask"].read_bytes(), dtype=np.uint8)).reshape(200, 200)
    assert np.array_equal(stencil, dots[..., 0] < 128)


def test_faxes_are_reduced_as_others_are() -> None:
    pdf, values = pikepdf.new(), samples(1, 1)
    fine = np.repeat(np.repeat(values[..., 0], 40, axis=0), 40, axis=1).astype(bool)
    held = BytesIO()
    Image.fromarray(fine).save(held, "TIFF", compression="group4")
    with Image.open(held) as picture_:
        data = b"".join(
            held.getvalue()[at : at + length]
            for at, length in zip(picture_.tag_v2[273], picture_.tag_v2[279], strict=True)
        )
        assert len(picture_.tag_v2[273]) == 1
    for black_is_1 in (False, True):
        made = image(pdf, b"", Name.DeviceGray, 1, Width=COLUMNS * 40, Height=ROWS * 40)
        told = Dictionary(K=-1, Columns=COLUMNS * 40, Rows=ROWS * 40, BlackIs1=black_is_1)
        made.write(data, filter=Name.CCITTFaxDecode, decode_parms=told)
        coarse = ink_picture(made, colours(), Dictionary(), drawn=(100, 100))
        assert isinstance(coarse, DotPicture)
        packed = ink_picture(made, colours(), Dictionary())
        assert isinstance(packed, TablePicture)
        # The library that draws unpacks the other one.
        assert ink_at(pdf, coarse, 3) == pytest.approx(ink_at(pdf, packed, 3), abs=WITHIN)
        assert 0 < ink_at(pdf, packed, 3).mean() < 1


def test_pictures_of_many_bands_are_those_of_one() -> None:
    pdf = pikepdf.new()
    dots = np.random.default_rng(4).integers(0, 256, (1001, 702, 4)).astype(np.uint8)
    picture = ink_picture(image(pdf, dots.tobytes(), Name.DeviceCMYK, Width=702, Height=1001), colours(), Dictionary())
    grey = picture.grey(2)
    assert grey is not None
    assert np.array_equal(np.frombuffer(grey.read_bytes(), dtype=np.uint8).reshape(1001, 702), 255 - dots[..., 2])


def test_an_ink_no_dot_has_is_left_out() -> None:
    pdf, values = pikepdf.new(), samples(4)
    values[..., 2] = 0
    picture = ink_picture(image(pdf, bits_of(values, 8), Name.DeviceCMYK), colours(), Dictionary())
    assert picture.grey(2) is None
    assert picture.grey(1) is not None
    assert cells(drawn_picture(pdf, picture.white(), b"0 g 0 0 100 100 re f "), 2, 2).min() == 1.0


def test_bombs_are_refused() -> None:
    pdf, of = pikepdf.new(), colours()
    with pytest.raises(Malformed):
        ink_picture(image(pdf, b"", Name.DeviceCMYK, Width=100_000, Height=100_000), of, Dictionary())
    assert noted(of) == {"pdf-picture-too-large"}
    packed = zlib.compress(bytes(50 << 20))
    made = image(pdf, b"", Name.DeviceCMYK)
    made.write(packed, filter=Name.FlateDecode)
    assert ink_picture(made, colours(), Dictionary()).grey(0) is None  # more data than it needs do no harm
    large = image(pdf, b"", Name.DeviceCMYK)
    huge = imagecodecs.jpeg8_encode(np.zeros((8, 8, 4), dtype=np.uint8), colorspace="CMYK", outcolorspace="CMYK")
    at = huge.index(b"\xff\xc0")
    large.write(huge[: at + 5] + b"\xff\xff\xff\xff" + huge[at + 9 :], filter=Name.DCTDecode)
    of = colours()
    with pytest.raises(Malformed):
        ink_picture(large, of, Dictionary())
    assert noted(of) == {"pdf-picture-too-large"}


def test_large_pictures_of_every_packing_are_read_and_their_bombs_are_not() -> None:
    pdf, dots = pikepdf.new(), noise(1000, 1100, 4) // 16
    made = image(pdf, b"", Name.DeviceCMYK, Width=1100, Height=1000)
    made.write(imagecodecs.lzw_encode(dots.tobytes()), filter=Name.LZWDecode)
    grey = ink_picture(made, colours(), Dictionary()).grey(2)
    assert grey is not None
    assert np.array_equal(np.frombuffer(grey.read_bytes(), dtype=np.uint8).reshape(1000, 1100), 255 - dots[..., 2])
    made.write(imagecodecs.lzw_encode(bytes(100 << 20)), filter=Name.LZWDecode)
    with pytest.raises(Malformed):
        ink_picture(made, colours(), Dictionary())
    runs = packed_otherwise(dots.tobytes())["runs"][0]
    made.write(runs, filter=Name.RunLengthDecode)
    grey = ink_picture(made, colours(), Dictionary()).grey(2)
    assert grey is not None
    assert np.array_equal(np.frombuffer(grey.read_bytes(), dtype=np.uint8).reshape(1000, 1100), 255 - dots[..., 2])
    made.write(b"\x81\x00" * 1_000_000, filter=Name.RunLengthDecode)
    with pytest.raises(Malformed):
        ink_picture(made, colours(), Dictionary())
    made.write(dots.tobytes().hex().encode(), filter=Name.ASCIIHexDecode)
    assert ink_picture(made, colours(), Dictionary()).grey(2) is not None
    made.write(b"\x00A\x00", filter=Name.LZWDecode)
    with pytest.raises(Malformed):
        ink_picture(made, colours(), Dictionary())


def test_data_that_end_too_early_are_told() -> None:
    pdf, values, of = pikepdf.new(), samples(4), colours()
    picture = ink_picture(image(pdf, bits_of(values, 8)[: -COLUMNS * 4], Name.DeviceCMYK), of, Dictionary())
    assert noted(of) == {"pdf-picture-cut-short"}
    assert all_inks(pdf, picture)[:3] == pytest.approx(values[:3] / 255, abs=WITHIN)


@given(
    st.binary(max_size=200),
    st.sampled_from([None, Name.FlateDecode, Name.LZWDecode, Name.DCTDecode, Name.JPXDecode, Name.RunLengthDecode]),
    st.dictionaries(
        st.sampled_from(
            ["Width", "Height", "BitsPerComponent", "Decode", "Mask", "SMask", "ColorSpace", "DecodeParms", "Filter"]
        ),
        st.one_of(
            st.integers(-3, 70_000), st.just(Name.DeviceRGB), st.just(Array([0, 1])), st.just(Dictionary(Predictor=15))
        ),
        max_size=3,
    ),
)
@QUICK
def test_no_picture_does_more_than_be_malformed(data: bytes, filter_: Any, entries: dict[str, Any]) -> None:
    pdf = pikepdf.new()
    made = image(pdf, b"", Name.DeviceCMYK)
    made.write(data, filter=filter_)
    for key, value in entries.items():
        made[f"/{key}"] = value
    try:
        picture = ink_picture(made, colours(), Dictionary())
    except Malformed:
        return
    picture.grey(0)
    picture.white()


@given(st.integers(0, 10_000), st.binary(min_size=1, max_size=6), st.sampled_from(["jpeg", "jpx", "flate"]))
@QUICK
def test_no_damage_does_more_than_be_malformed(at: int, damage: bytes, kind: str) -> None:
    pdf, dots = pikepdf.new(), blocks(4)
    if kind == "jpeg":
        data, told = imagecodecs.jpeg8_encode(dots, colorspace="CMYK", outcolorspace="YCCK"), Name.DCTDecode
    elif kind == "jpx":
        data, told = imagecodecs.jpeg2k_encode(dots, level=0, codecformat="jp2"), Name.JPXDecode
    else:
        data, told = zlib.compress(dots.tobytes()), Name.FlateDecode
    at %= len(data)
    made = image(pdf, b"", Name.DeviceCMYK, Width=COLUMNS * 16, Height=ROWS * 16)
    made.write(data[:at] + damage + data[at + len(damage) :], filter=told)
    try:
        picture = ink_picture(made, colours(), Dictionary())
    except Malformed:
        return
    picture.grey(0)
