"""PNG and JPEG of separated work, and the same work through every door."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from filmsplit.artwork import PlateCurve
from filmsplit.formats import picture_reader
from filmsplit.formats.coverage_typed import typed_coverage
from filmsplit.formats.ink_zones_reader import ink_zones_of
from formats.made_tickets import jdf
from formats.made_tiff import Page, tiff
from formats.plate_work import DPI, EDGES_MM, SHARES, bits, grey, read, refused, zones

STEPS = np.rint(255 * np.array(SHARES)) / 255


def picture(dots: np.ndarray, mode: str, kind: str, **options: Any) -> bytes:
    """``dots`` with 255, or one, for full ink; written the way the kind of picture has it: black at 0."""
    turned = {"1": lambda: dots == 0, "L": lambda: 255 - dots, "CMYK": lambda: dots}[mode]()
    image = Image.fromarray(turned) if mode != "CMYK" else Image.frombytes("CMYK", dots.shape[1::-1], dots.tobytes())
    file = io.BytesIO()
    image.save(file, kind, **{"dpi": (DPI, DPI), **options})
    return file.getvalue()


def test_png_of_one_bit(tmp_path: Path) -> None:
    (artwork,) = read(tmp_path / "plate.png", picture(bits(), "1", "PNG"))
    np.testing.assert_allclose(zones(artwork), SHARES, atol=0.001)
    assert artwork.across_mm == pytest.approx(180.0, rel=1e-4)  # PNG keeps whole dots to the metre


def test_grey_png(tmp_path: Path) -> None:
    (artwork,) = read(tmp_path / "grey.png", picture(grey(), "L", "PNG"))
    np.testing.assert_allclose(zones(artwork), STEPS, atol=0.001)


def test_grey_jpeg(tmp_path: Path) -> None:
    """Even zones survive the packing: their edges lie on whole blocks of 8 dots (600 = 75 blocks)."""
    (artwork,) = read(tmp_path / "grey.jpg", picture(grey(), "L", "JPEG", quality=95))
    np.testing.assert_allclose(zones(artwork), STEPS, atol=0.001)


FOUR = np.stack([np.roll(grey(64), 600 * ink, axis=1) for ink in range(4)], axis=2)


@pytest.mark.parametrize("adobe", [True, False])
def test_cmyk_jpeg_with_and_without_the_adobe_marker(tmp_path: Path, adobe: bool) -> None:
    """With the marker (APP14) ink is stored upside down, without it straight (ITU-T T.872; memory). The bytes of the
    picture are the same in both files, so without the marker the shares must come out turned over."""
    data = picture(FOUR, "CMYK", "JPEG", quality=95, subsampling=0)
    at = data.index(b"\xff\xee")
    assert data[at + 4 : at + 9] == b"Adobe"
    if not adobe:
        data = data[:at] + data[at + 2 + int.from_bytes(data[at + 2 : at + 4], "big") :]
    maps = read(tmp_path / "four.jpg", data)
    assert [each.ink for each in maps] == ["cyan", "magenta", "yellow", "black"]
    for ink, artwork in enumerate(maps):
        expected = np.roll(STEPS, ink)
        np.testing.assert_allclose(zones(artwork), expected if adobe else 1 - expected, atol=0.002)


def test_colours_and_transparency_are_refused_with_a_way_out(tmp_path: Path) -> None:
    for mode in ("RGB", "P", "RGBA", "LA"):
        file = io.BytesIO()
        Image.new(mode, (64, 64)).save(file, "PNG", dpi=(300, 300))
        assert refused(tmp_path / "colours.png", file.getvalue()) == ["plate-picture-in-colours"], mode
    file = io.BytesIO()
    Image.new("RGB", (64, 64)).save(file, "JPEG", dpi=(300, 300))
    assert refused(tmp_path / "colours.jpg", file.getvalue()) == ["plate-picture-in-colours"]
    file = io.BytesIO()
    Image.new("I;16", (64, 64)).save(file, "PNG", dpi=(300, 300))
    assert refused(tmp_path / "deep.png", file.getvalue()) == ["picture-bits-not-read"]


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_without_a_resolution_it_asks(tmp_path: Path, kind: str) -> None:
    data = picture(grey(), "L", kind, dpi=None) if kind == "PNG" else picture(grey(), "L", kind, dpi=(0, 0))
    assert refused(tmp_path / "grey", data) == ["plate-resolution-missing"]
    (artwork,) = read(tmp_path / "grey", data, resolution_dpi=DPI)
    np.testing.assert_allclose(zones(artwork), STEPS, atol=0.001)


def test_jpeg_resolution_from_exif(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x011A], exif[0x011B], exif[0x0128] = 200.0, 200.0, 3  # dots to the centimetre
    data = picture(grey(), "L", "JPEG", dpi=(0, 0), exif=exif)
    (artwork,) = read(tmp_path / "grey.jpg", data)
    assert artwork.across_mm == pytest.approx(180.0)


def test_everything_wrong_is_told_at_once(tmp_path: Path) -> None:
    file = io.BytesIO()
    Image.new("RGB", (64, 64)).save(file, "PNG")
    assert refused(tmp_path / "colours.png", file.getvalue()) == [
        "plate-picture-in-colours",
        "plate-resolution-missing",
    ]


def test_large_pictures_are_sent_to_tiff(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(picture_reader, "MOST_BYTES", 10_000)
    assert refused(tmp_path / "grey.png", picture(grey(), "L", "PNG")) == ["picture-too-large"]


def test_ink_names_and_curve(tmp_path: Path) -> None:
    curve = PlateCurve.from_percents([(50, 60)])
    (artwork,) = read(tmp_path / "grey.png", picture(grey(), "L", "PNG"), curve=curve, inks=("gold",))
    np.testing.assert_allclose(zones(artwork), np.interp(STEPS, [0, 0.5, 1], [0, 0.6, 1]), atol=0.001)
    assert artwork.ink == "gold"
    data = picture(grey(), "L", "PNG")
    assert refused(tmp_path / "grey.png", data, inks=("a", "b")) == ["plate-inks-do-not-fit"]


def test_the_same_work_through_every_door(tmp_path: Path) -> None:
    """Bits, grey, pictures, ticket and typing agree within 0.5 % in every zone."""
    ways = {
        "bits": read(tmp_path / "a.tif", tiff(Page(bits(), packing="g4", dpi=(DPI, DPI))))[0],
        "grey": read(tmp_path / "b.tif", tiff(Page(grey(), bits=8, packing="lzw", dpi=(DPI, DPI))))[0],
        "png": read(tmp_path / "c.png", picture(bits(), "1", "PNG"))[0],
        "jpeg": read(tmp_path / "d.jpg", picture(grey(), "L", "JPEG", quality=95))[0],
        "ticket": ink_zones_of(jdf(SHARES), name="ticket")[0].coverage(round_mm=20.0, file="ticket"),
        "typed": typed_coverage("0 2 10 25 50 100", EDGES_MM, round_mm=20.0, ink="black"),
    }
    for way, artwork in ways.items():
        np.testing.assert_allclose(zones(artwork), SHARES, atol=0.005, err_msg=way)
