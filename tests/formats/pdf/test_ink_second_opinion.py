"""Pages of pictures, shadings and named inks, ink by ink, against another program's separations.

The other program (Ghostscript's tiffsep, if it is installed) shares no code with ours. Colours are inks or tints, so
that no profile comes between. It paints every dot it touches; objects reach to the edges of the page here.
"""

from __future__ import annotations

import shutil
import struct
import subprocess
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import imagecodecs
import numpy as np
import pikepdf
import pytest
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name
from PIL import Image

from filmsplit.formats.pdf.asked import PdfAsked
from formats.pdf.made_pdf import SIDE, planes_of, write_page
from formats.pdf.test_shadings import CORNERS, inks_of, mesh, patch_data

OTHER = shutil.which("gs")
WITHIN = 0.004
"""Of the mean over a sixteenth of the page, in each ink: a grey of 256."""
SHADED_WITHIN = 0.012
"""The other program draws shadings in steps of a hundredth: where exact amounts are known it is off by 0.010, and ours
by 0.0003 (``test_axial_shadings_against_exact_means``). This tells wrong inks and directions only."""
PARTS = 4
pytestmark = pytest.mark.skipif(OTHER is None, reason="no other program to ask")
RANDOM = np.random.default_rng(12)


def picture(pdf: pikepdf.Pdf, data: bytes, **entries: Any) -> pikepdf.Stream:
    made = pdf.make_stream(data)
    told = {"Type": Name.XObject, "Subtype": Name.Image, "Width": 50, "Height": 50, "BitsPerComponent": 8, **entries}
    for key, value in told.items():
        made[f"/{key}"] = value
    return made


def smooth(components: int, side: int = 50) -> NDArray[np.uint8]:
    """Colours that change over the page, with some grain."""
    down, across = np.mgrid[0:side, 0:side] / side
    waves = [np.sin(4 * across * (1 + 0.3 * each) + each) * np.cos(3 * down + each) for each in range(components)]
    grain = RANDOM.integers(-12, 13, (side, side, components))
    return np.clip(128 + 90 * np.stack(waves, axis=-1) + grain, 0, 255).astype(np.uint8)


def tint(pdf: pikepdf.Pdf, count: int) -> pikepdf.Stream:
    made = pdf.make_stream(b"{ " + b"pop " * count + b"0 0 0 0 }")
    made["/FunctionType"], made["/Domain"], made["/Range"] = 4, Array([0, 1] * count), Array([0, 1] * 4)
    return made


def mixture(pdf: pikepdf.Pdf, *names: str) -> Array:
    return Array([Name.DeviceN, Array([Name(f"/{each}") for each in names]), Name.DeviceCMYK, tint(pdf, len(names))])


def flate(pdf: pikepdf.Pdf, dots: NDArray[np.uint8], space: Any, **entries: Any) -> pikepdf.Stream:
    size = {"Width": dots.shape[1], "Height": dots.shape[0]}
    data = zlib.compress(dots.tobytes())
    return picture(pdf, data, ColorSpace=space, Filter=Name.FlateDecode, **{**size, **entries})


def table(pdf: pikepdf.Pdf) -> pikepdf.Stream:
    colours = RANDOM.integers(0, 256, (256, 4)).astype(np.uint8)
    space = Array([Name.Indexed, Name.DeviceCMYK, 255, pikepdf.String(colours.tobytes())])
    return flate(pdf, smooth(1), space)


def two_tones(pdf: pikepdf.Pdf) -> pikepdf.Stream:
    dots = np.packbits(smooth(1, 400)[..., 0] > RANDOM.integers(0, 256, (400, 400)), axis=1)
    return flate(pdf, dots, Name.DeviceGray, Width=400, BitsPerComponent=1)


def deep(pdf: pikepdf.Pdf) -> pikepdf.Stream:
    dots = (smooth(4).astype(np.uint16) * 257).astype(">u2")
    return flate(pdf, dots.view(np.uint8).reshape(50, 50, 8), Name.DeviceCMYK, BitsPerComponent=16)


def jpeg(pdf: pikepdf.Pdf) -> pikepdf.Stream:
    data = imagecodecs.jpeg8_encode(smooth(4), level=98, colorspace="CMYK", outcolorspace="YCCK", subsampling="444")
    return picture(pdf, data, ColorSpace=Name.DeviceCMYK, Filter=Name.DCTDecode, Decode=Array([1, 0] * 4))


def jpeg_2000(pdf: pikepdf.Pdf) -> pikepdf.Stream:
    data = imagecodecs.jpeg2k_encode(smooth(4), level=0, reversible=True, codecformat="j2k", mct=False)
    return picture(pdf, data, ColorSpace=Name.DeviceCMYK, Filter=Name.JPXDecode)


def masked(pdf: pikepdf.Pdf) -> pikepdf.Stream:
    mask = flate(pdf, smooth(1, 70), Name.DeviceGray)
    return flate(pdf, smooth(4), Name.DeviceCMYK, SMask=mask)


PICTURES: dict[str, Callable[[pikepdf.Pdf], pikepdf.Stream]] = {
    "four inks": lambda pdf: flate(pdf, smooth(4), Name.DeviceCMYK),
    "four inks, fine": lambda pdf: flate(pdf, smooth(4, 333), Name.DeviceCMYK),
    "decode": lambda pdf: flate(pdf, smooth(4), Name.DeviceCMYK, Decode=Array([1, 0, 0, 0.5, 0.2, 1, 0, 1])),
    "mixture": lambda pdf: flate(pdf, smooth(3), mixture(pdf, "Gold", "Magenta", "Silver")),
    "table": table,
    "grey, fine": lambda pdf: flate(pdf, smooth(1, 273), Name.DeviceGray),
    "two tones, fine": two_tones,
    "16 bits": deep,
    "jpeg": jpeg,
    "jpeg 2000": jpeg_2000,
    "soft mask": masked,
}


def along(pdf: pikepdf.Pdf, kind: int, coords: list[float]) -> Dictionary:
    low, high = [0.1, 0.9, 0.0], [1.0, 0.2, 0.4]
    function = Dictionary(FunctionType=2, Domain=[0, 1], C0=low, C1=high, N=1.7)
    space = mixture(pdf, "Gold", "Magenta", "Silver")
    return Dictionary(ShadingType=kind, ColorSpace=space, Coords=coords, Function=function, Extend=[True, True])


def by_place(pdf: pikepdf.Pdf) -> Dictionary:
    function = pdf.make_stream(b"{ 2 copy add 2 div 3 1 roll 360 mul sin abs exch 0.5 }")
    function["/FunctionType"], function["/Domain"], function["/Range"] = 4, Array([0, 1] * 2), Array([0, 1] * 4)
    return Dictionary(ShadingType=1, ColorSpace=Name.DeviceCMYK, Function=function, Matrix=[SIDE, 0, 0, SIDE, 0, 0])


def triangles(pdf: pikepdf.Pdf) -> pikepdf.Stream:
    records = (
        b"\0"
        + struct.pack(">HH", round(x * 65535), round(y * 65535))
        + bytes(round(255 * each) for each in inks_of(value))
        for (x, y), value in CORNERS
    )
    return mesh(pdf, 4, b"".join(records), (8, 16, 8))


SHADINGS: dict[str, Callable[[pikepdf.Pdf], Any]] = {
    "axial": lambda pdf: along(pdf, 2, [10, 20, 80, 90]),
    "radial": lambda pdf: along(pdf, 3, [40, 50, 5, 60, 55, 45]),
    "by place": by_place,
    "triangles": triangles,
    "patches": lambda pdf: mesh(pdf, 6, patch_data(6), (8, 16, 8)),
    "tensors": lambda pdf: mesh(pdf, 7, patch_data(7), (8, 16, 8)),
}


def other_planes(path: Path) -> dict[str, NDArray[np.float64]]:
    """By ink the shares of the whole page, at eight times as many dots."""
    out = path.parent / "sep.tif"
    command = [OTHER, "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-sDEVICE=tiffsep", "-r576", "-dUseFastColor=true"]
    subprocess.run([*map(str, command), f"-sOutputFile={out}", str(path)], check=True, capture_output=True)
    found = {}
    for each in path.parent.glob("sep(*).tif"):
        with Image.open(each) as plane:
            found[each.name[4:-5]] = 1 - np.asarray(plane, dtype=np.float64) / 255
    return found


def parts(dots: NDArray[np.float64]) -> NDArray[np.float64]:
    side = dots.shape[0] // PARTS
    return dots.reshape(PARTS, side, PARTS, side).mean(axis=(1, 3))


def compared(path: Path, within: float) -> None:
    ours, _ = planes_of(path, PdfAsked(dpi=288.0))
    others = other_planes(path)
    assert set(others) == {*ours, *others}
    for name, dots in others.items():
        wanted = parts(dots)
        found = parts(ours[name]) if name in ours else np.zeros((PARTS, PARTS))
        assert found == pytest.approx(wanted, abs=within), name


@pytest.mark.parametrize("name", PICTURES)
def test_pictures(name: str, tmp_path: Path) -> None:
    content = b"0.2 0 0 0 k 0 0 100 100 re f q 100 0 0 100 0 0 cm /P Do Q"
    path = write_page(tmp_path / "page.pdf", content, lambda pdf: {"/XObject": Dictionary(P=PICTURES[name](pdf))})
    compared(path, WITHIN)


@pytest.mark.parametrize("name", SHADINGS)
def test_shadings(name: str, tmp_path: Path) -> None:
    path = write_page(tmp_path / "page.pdf", b"/S sh", lambda pdf: {"/Shading": Dictionary(S=SHADINGS[name](pdf))})
    compared(path, SHADED_WITHIN)


def test_axial_shadings_against_exact_means(tmp_path: Path) -> None:
    """Gold is 0.1 + 0.9 s ** 1.7, s going from (10, 20) to (80, 90)."""
    path = write_page(tmp_path / "page.pdf", b"/S sh", lambda pdf: {"/Shading": Dictionary(S=SHADINGS["axial"](pdf))})
    ours, _ = planes_of(path, PdfAsked(dpi=288.0))
    down, across = (np.mgrid[0:1600, 0:1600] + 0.5) / 16
    share = np.clip(((across - 10) + (SIDE - down - 20)) / 140, 0, 1)
    assert parts(ours["Gold"]) == pytest.approx(parts(0.1 + 0.9 * share**1.7), abs=0.002)


@pytest.mark.parametrize("name", ["triangles", "patches", "tensors"])
def test_meshes_against_exact_means(name: str, tmp_path: Path) -> None:
    """Cyan goes from 0 at the left to 1 at the right, magenta the other way."""
    path = write_page(tmp_path / "page.pdf", b"/S sh", lambda pdf: {"/Shading": Dictionary(S=SHADINGS[name](pdf))})
    ours, _ = planes_of(path, PdfAsked(dpi=288.0))
    exact = np.array([0.125, 0.375, 0.625, 0.875])
    for ink, wanted in (("Cyan", exact), ("Magenta", 1 - exact), ("Yellow", np.full(4, 0.4))):
        assert parts(ours[ink]) == pytest.approx(np.tile(wanted, (PARTS, 1)), abs=0.003), ink
