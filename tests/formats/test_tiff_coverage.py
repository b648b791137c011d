"""TIFF plate files in every way plate-setters write them, against arithmetic; structure also against tifffile."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile

from filmsplit.artwork import PlateCurve
from filmsplit.formats import tiff_bands, tiff_unpack
from filmsplit.formats.coverage_file import read_coverage
from filmsplit.formats.coverage_options import CoverageOptions
from formats.made_tiff import ASCII, NUMBERS, SHORT, Page, tiff
from formats.plate_work import DPI, SHARES, bits, grey, read, refused, zones

WITHIN = 0.001
"""Asked for: 0.1 % absolute in every zone."""
SQUARE = (DPI, DPI)


def made(dots: np.ndarray, **page: Any) -> Page:
    return Page(dots, **{"dpi": SQUARE, **page})


@pytest.mark.parametrize("packing", NUMBERS)
@pytest.mark.parametrize(
    "way",
    [
        {},
        {"rows_per_strip": 37},
        {"rows_per_strip": 1},
        {"tile": (48, 256)},
        {"fill_order": 2, "rows_per_strip": 64},
        {"photometric": 1, "tile": (16, 16)},
    ],
    ids=str,
)
@pytest.mark.parametrize("build", [{}, {"order": ">", "big": True}], ids=["classic", "big"])
def test_bits_by_zone(tmp_path: Path, packing: str, way: dict[str, Any], build: dict[str, Any]) -> None:
    dots = bits(110)
    page = made(1 - dots if way.get("photometric") else dots, packing=packing, **way)
    path = tmp_path / "plate.tif"
    (artwork,) = read(path, tiff(page, **build))
    np.testing.assert_allclose(zones(artwork), dots.reshape(110, len(SHARES), -1).mean(axis=(0, 2)), atol=WITHIN)
    np.testing.assert_array_equal(tifffile.imread(path), page.dots)  # the file is what we think it is


def test_shares_come_out_to_the_dot(tmp_path: Path) -> None:
    (artwork,) = read(tmp_path / "plate.tif", tiff(made(bits(), packing="g4")))
    np.testing.assert_allclose(zones(artwork), SHARES, atol=1e-12)
    assert (artwork.round_mm, artwork.across_mm) == pytest.approx((20.0, 180.0))


@pytest.mark.parametrize("workers", [1, 2, 3])
@pytest.mark.parametrize("cell_mm", [0.05, 0.93, 1.0, 7.0, 500.0])
def test_random_dots_cell_by_cell(tmp_path: Path, workers: int, cell_mm: float) -> None:
    """Cells whose edges fall inside bytes, in bands that end inside cells: every cell against its own dots."""
    rng = np.random.default_rng(7)
    dots = (rng.random((613, 1003)) < np.linspace(0, 1, 1003)).astype(np.uint8)
    cuts = tuple(rng.uniform(0, 50, 9))
    path = tmp_path / "plate.tif"
    path.write_bytes(tiff(made(dots, packing="lzw", rows_per_strip=50)))
    options = CoverageOptions(cell_mm=cell_mm, cuts_across_mm=cuts, cuts_round_mm=cuts, workers=workers)
    (artwork,) = read_coverage(path, options).maps
    rows, columns = (np.rint(each * 20).astype(int) for each in (artwork.round_edges_mm, artwork.across_edges_mm))
    sums = np.add.reduceat(np.add.reduceat(dots.astype(int), rows[:-1], axis=0), columns[:-1], axis=1)
    np.testing.assert_allclose(artwork.coverage, sums / np.outer(np.diff(rows), np.diff(columns)), atol=1e-12)


@pytest.mark.parametrize("big_at", [1, 2**12])
def test_pieces_too_large_for_memory_go_through_a_file(
    tmp_path: Path, big_at: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tiff_unpack, "MOST_IN_MEMORY", big_at)
    for packing in NUMBERS:
        (artwork,) = read(tmp_path / "plate.tif", tiff(made(bits(), packing=packing)))
        np.testing.assert_allclose(zones(artwork), SHARES, atol=1e-12)


@pytest.mark.parametrize("packing", ["none", "lzw", "deflate", "packbits"])
@pytest.mark.parametrize(
    "way", [{}, {"rows_per_strip": 33}, {"tile": (32, 128)}, {"photometric": 1}, {"predictor": 2}], ids=str
)
def test_grey_by_zone(tmp_path: Path, packing: str, way: dict[str, Any]) -> None:
    if "predictor" in way and packing not in ("lzw", "deflate"):
        data = tiff(made(grey(70), bits=8, packing=packing, **way))
        assert refused(tmp_path / "grey.tif", data) == ["tiff-packing-not-read"]
        return
    values = grey(70)
    dots = 255 - values if way.get("photometric") else values
    path = tmp_path / "grey.tif"
    (artwork,) = read(path, tiff(made(dots, bits=8, packing=packing, **way)))
    np.testing.assert_allclose(zones(artwork), np.array(SHARES), atol=0.5 / 255 + 1e-9)
    np.testing.assert_allclose(zones(artwork), np.rint(255 * np.array(SHARES)) / 255, atol=WITHIN)
    np.testing.assert_array_equal(tifffile.imread(path), dots)


SIX = np.stack([np.roll(grey(40), 600 * ink, axis=1) for ink in range(6)], axis=2)


@pytest.mark.parametrize(
    "way", [{}, {"planar": 2}, {"planar": 2, "tile": (32, 64)}, {"predictor": 2, "packing": "lzw"}]
)
def test_inks_together_or_apart(tmp_path: Path, way: dict[str, Any]) -> None:
    """CMYK and two spots: the names of the spots from InkNames, those of the process inks from the specification."""
    extra = {338: (SHORT, [0, 0]), 333: (ASCII, b"Copper\0Varnish\0"), 332: (SHORT, [1])}
    maps = read(tmp_path / "six.tif", tiff(made(SIX, bits=8, photometric=5, more=extra, **way)))
    assert [each.ink for each in maps] == ["cyan", "magenta", "yellow", "black", "Copper", "Varnish"]
    for ink, artwork in enumerate(maps):
        expected = np.roll(np.rint(255 * np.array(SHARES)) / 255, ink)
        np.testing.assert_allclose(zones(artwork), expected, atol=WITHIN)


def test_pages_are_inks_and_small_copies_are_left_out(tmp_path: Path) -> None:
    small = made(bits(20)[:, ::20], more={254: (SHORT, [1])})
    named = made(bits(), packing="g4", more={285: (ASCII, b"Black\0")})
    path = tmp_path / "pages.tif"
    path.write_bytes(tiff(named, small, made(1 - bits(), packing="packbits")))
    found = read_coverage(path)
    assert [each.ink for each in found.maps] == ["Black", "page 3"]
    assert [each.source.page for each in found.maps] == [1, 3]
    assert [problem.slug for problem in found.notices] == ["tiff-small-copies"]
    assert [each.mean for each in found.maps] == pytest.approx([np.mean(SHARES), 1 - np.mean(SHARES)])
    renamed = read_coverage(path, CoverageOptions(inks=("cyan", "gold"))).maps
    assert [each.ink for each in renamed] == ["cyan", "gold"]
    assert refused(path, path.read_bytes(), inks=("cyan",)) == ["plate-inks-do-not-fit"]


@pytest.mark.parametrize(("unit", "per_unit"), [(2, 25.4), (3, 10.0)])
def test_units_of_resolution_and_dots_that_are_not_square(tmp_path: Path, unit: int, per_unit: float) -> None:
    page = made(bits(), dpi=(40 * per_unit, 20 * per_unit), unit=unit)
    (artwork,) = read(tmp_path / "plate.tif", tiff(page))
    assert (artwork.round_mm, artwork.across_mm) == pytest.approx((10.0, 180.0), abs=0.01)


@pytest.mark.parametrize("page", [{"dpi": None}, {"unit": 1}, {"dpi": (0.0, 0.0)}], ids=str)
def test_without_a_resolution_it_asks(tmp_path: Path, page: dict[str, Any]) -> None:
    data = tiff(made(bits(), **page))
    assert refused(tmp_path / "plate.tif", data) == ["plate-resolution-missing"]
    (artwork,) = read(tmp_path / "plate.tif", data, resolution_dpi=DPI)
    assert artwork.across_mm == pytest.approx(180.0)
    assert any("508" in step.text for step in artwork.steps)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_orientation(tmp_path: Path, orientation: int) -> None:
    """What viewers show, by the words of the specification: which side of the picture row 0 and column 0 are."""
    first_row, first_column = {
        1: ("top", "left"),
        2: ("top", "right"),
        3: ("bottom", "right"),
        4: ("bottom", "left"),
        5: ("left", "top"),
        6: ("right", "top"),
        7: ("right", "bottom"),
        8: ("left", "bottom"),
    }[orientation]
    upright = np.zeros((40, 80), np.uint8)
    upright[:10, :30] = 1
    upright[30:, 70:] = 1
    stored = upright if first_row in ("top", "bottom") else upright.T
    if "bottom" in (first_row, first_column):
        stored = stored[::-1] if first_row == "bottom" else stored[:, ::-1]
    if "right" in (first_row, first_column):
        stored = stored[::-1] if first_row == "right" else stored[:, ::-1]
    path = tmp_path / "plate.tif"
    path.write_bytes(tiff(made(np.ascontiguousarray(stored), more={274: (SHORT, [orientation])})))
    options = CoverageOptions(cell_mm=0.5, cuts_across_mm=(1.55,), cuts_round_mm=(1.35,))
    (artwork,) = read_coverage(path, options).maps
    assert (artwork.round_mm, artwork.across_mm) == pytest.approx((2.0, 4.0))
    assert 1.55 in artwork.across_edges_mm.round(6)
    assert 1.35 in artwork.round_edges_mm.round(6)
    rows, columns = (np.rint(each * 20).astype(int) for each in (artwork.round_edges_mm, artwork.across_edges_mm))
    sums = np.add.reduceat(np.add.reduceat(upright.astype(int), rows[:-1], axis=0), columns[:-1], axis=1)
    np.testing.assert_allclose(artwork.coverage, sums / np.outer(np.diff(rows), np.diff(columns)), atol=1e-12)


def test_a_plate_curve_bends_dots_not_means(tmp_path: Path) -> None:
    """Half the dots at 20 %, half at 80 %: the mean of the curve, 0.5, is not the curve of the mean, 0.7."""
    curve = PlateCurve.from_percents([(20, 10), (50, 70), (80, 90)])
    values = np.where(np.arange(200) % 2, 51, 204).astype(np.uint8)
    data = tiff(made(np.tile(values, (200, 1)), bits=8))
    (artwork,) = read(tmp_path / "grey.tif", data, curve=curve)
    assert artwork.mean == pytest.approx(0.5, abs=1e-4)
    assert any("20 → 10" in step.text for step in artwork.steps)
    assert refused(tmp_path / "plate.tif", tiff(made(bits())), curve=curve) == ["plate-curve-on-bits"]


def test_progress_ends_where_the_rows_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tiff_bands, "BAND_BYTES", 100_000)
    seen: list[tuple[int, int]] = []
    data = tiff(made(bits(900), packing="packbits", rows_per_strip=100))
    read(tmp_path / "plate.tif", data, progress=lambda done, rows: seen.append((done, rows)))
    assert len(seen) > 1
    assert seen == sorted(seen)
    assert seen[-1] == (900, 900)
