"""The demo works hold what they promise: true coverage by construction, files others can read, a place on their press.

The files are read by Pillow's libtiff and by tifffile, neither of which is ours; the sums are done by hand.
"""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image

from filmsplit.actions.demo_works import demo_job, works, write_work
from filmsplit.actions.find import find_press
from filmsplit.artwork import CoverageMap, Placement, Plate, WorkStyle, place, zone_cuts, zone_totals
from filmsplit.formats.coverage_file import read_coverage
from filmsplit.formats.coverage_options import CoverageOptions
from filmsplit.library.work_parts import Lettering, Part, Screen, Solid
from filmsplit.library.work_plates import WorkPlate
from filmsplit.library.works import DEMO_JOB, GIGAPIXEL, Work
from filmsplit.press import Unit

SMALL = tuple(slug for slug in works() if slug != GIGAPIXEL)


@cache
def work(slug: str) -> Work:
    return works()[slug]


def unit_of(one: Work, number: int) -> tuple[Plate, np.ndarray, Unit]:
    """The plate cylinder of a work's unit, and its zone edges, from the press file alone."""
    press = find_press(one.press).press
    unit = press.unit(one.units[number])
    assert unit.fountain is not None
    edges = unit.fountain.first_zone_mm + np.cumsum([0.0, *unit.fountain.zone_widths_mm])
    cylinder = unit.cylinders.plate
    return Plate.even(cylinder.circumference_mm, press.face_mm, gap_mm=cylinder.gap_mm), edges, unit


def test_there_is_each_kind_of_work() -> None:
    """The list of the plan: letterhead, form, poster, halftone page, two colours, a very large plate."""
    assert set(works()) == {"letterhead", "form", "poster", "window", "halftone-page", "two-colours", "gigapixel"}
    assert demo_job().slug == DEMO_JOB
    assert work("form").placement.style is WorkStyle.WORK_AND_TURN
    assert [plate.ink for plate in work("two-colours").plates] == ["process-black", "process-cyan"]


@pytest.mark.parametrize("slug", works())
def test_a_work_says_that_it_is_invented_or_very_large(slug: str) -> None:
    assert "invented" in work(slug).title.lower()


@pytest.mark.parametrize("slug", works())
def test_plates_have_the_fineness_of_plate_setters(slug: str) -> None:
    """1 200 to 2 540 dots an inch: common practice."""
    assert all(1200 <= plate.dpi <= 2540 for plate in work(slug).plates)


def test_the_letterhead_covers_two_percent_of_its_sheet() -> None:
    one = work("letterhead")
    sheet = one.placement.sheet
    assert sheet is not None
    inked_mm2 = sum(one.plates[0].inked_mm2([0.0, 210.0]))
    assert inked_mm2 / (sheet.length_mm * sheet.width_mm) == pytest.approx(0.02, abs=0.001)


def test_the_very_large_plate_has_more_than_a_thousand_million_dots() -> None:
    rows, columns = work(GIGAPIXEL).plates[0].size
    assert rows * columns > 1e9


@pytest.mark.parametrize("share", [0.0, 0.02, 0.25, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("cell", [(6, 6), (8, 3), (12, 12)])
def test_a_screen_has_the_share_it_is_asked_for(share: float, cell: tuple[int, int]) -> None:
    """Counted over many whole tiles: out by half a dot of a tile at most."""
    screen = Screen(share, cell)
    side = len(screen.tile)
    drawn = screen.drawn((3 * side, 2 * side), first=0, last=3 * side)
    assert drawn.mean() == pytest.approx(share, abs=0.501 / side**2)


@pytest.mark.parametrize("cell", [(6, 6), (8, 3)])
def test_a_screen_repeats_at_the_cell_and_not_before(cell: tuple[int, int]) -> None:
    """A square lattice: shifted by the cell's own vector it lies on itself; dots along one row repeat with the tile."""
    right, down = cell
    side = (right**2 + down**2) // int(np.gcd(right, down))
    drawn = Screen(0.3, cell).drawn((4 * side, 4 * side), first=0, last=4 * side)
    shifted = np.roll(drawn, (down, right), axis=(0, 1))
    assert (drawn[side:-side, side:-side] == shifted[side:-side, side:-side]).mean() > 0.97
    assert np.array_equal(drawn[:, :side], drawn[:, side : 2 * side])


@pytest.mark.parametrize("slug", SMALL)
def test_true_coverage_is_that_of_the_drawn_dots(slug: str) -> None:
    """The whole plate drawn in bands that fit no part, and counted one by one."""
    for plate in work(slug).plates:
        drawn = np.zeros(plate.size[1], dtype=np.int64)
        for first in range(0, plate.size[0], 997):
            drawn += plate.rows(first, min(first + 997, plate.size[0])).sum(axis=0)
        assert np.array_equal(drawn, plate.column_counts())


@pytest.mark.parametrize("slug", SMALL)
def test_no_line_of_text_is_cut_off(slug: str) -> None:
    for plate in work(slug).plates:
        for part in plate.parts:
            if isinstance(part.pattern, Lettering):
                letters = part.pattern.drawn(part.size, first=0, last=part.size[0])
                assert letters.any()
                assert not letters[-1].any()
                assert not letters[:, -1].any()


def test_parts_that_overlap_or_stick_out_are_refused() -> None:
    part = Part(top=0, left=0, size=(10, 10), pattern=Solid())
    for other in (
        Part(top=9, left=9, size=(5, 5), pattern=Solid()),
        Part(top=0, left=95, size=(5, 6), pattern=Solid()),
    ):
        with pytest.raises(ValueError, match="part"):
            WorkPlate(ink="process-black", size_mm=(10, 10), dots_per_mm=10, parts=(part, other))


def test_files_are_read_by_others_as_they_were_drawn(tmp_path: Path) -> None:
    """libtiff (through Pillow) and tifffile agree with the drawing, dot for dot."""
    one = work("form")
    file = write_work(one, tmp_path).files[0]
    plate = one.plates[0]
    with tifffile.TiffFile(file) as tiff:
        page = tiff.pages[0]
        assert isinstance(page, tifffile.TiffPage)
        tags = {tag.name: tag.value for tag in page.tags}
        read = page.asarray()
    assert (tags["ImageLength"], tags["ImageWidth"]) == plate.size
    assert tags["Compression"] == 4
    assert tags["PhotometricInterpretation"] == 0
    assert tags["XResolution"] == (1270000, 1000)
    assert tags["PageName"] == "process-black"
    drawn = plate.rows(0, plate.size[0])
    assert np.array_equal(read.astype(bool), drawn)
    with Image.open(file) as picture:
        assert np.array_equal(~np.asarray(picture), drawn)


@pytest.mark.parametrize("slug", SMALL)
def test_a_work_lies_on_its_press_and_comes_out_by_zone_as_made(slug: str, tmp_path: Path) -> None:
    """Read, placed and summed by zone against the columns as made: within 0.1 % of the zone, the promise for files."""
    one = work(slug)
    files = write_work(one, tmp_path).files
    for number, (plate, file) in enumerate(zip(one.plates, files, strict=True)):
        cells, edges, _ = unit_of(one, number)
        size_mm = (float(plate.size_mm[0]), float(plate.size_mm[1]))
        _, cuts = zone_cuts(one.placement, edges, picture_mm=size_mm)
        read = read_coverage(file, CoverageOptions(cuts_across_mm=cuts)).maps[0]
        assert read.ink == plate.ink
        placed, notices = place(read, one.placement, cells)
        assert not notices
        found = zone_totals(placed, edges)
        assert found.outside_mm2 == pytest.approx(0.0, abs=1e-6)
        expected = np.array(by_zone_mm2(plate, one.placement, edges))
        zone_mm2 = np.diff(edges) * read_length_mm(placed)
        assert np.abs(found.inked_mm2 - expected).max() <= (0.001 * zone_mm2).min()
        assert found.inked_mm2.sum() == pytest.approx(expected.sum(), rel=1e-9)


def read_length_mm(placed: CoverageMap) -> float:
    return float(placed.round_edges_mm[-1] - placed.round_edges_mm[0])


def by_zone_mm2(plate: WorkPlate, placement: Placement, edges: np.ndarray) -> list[float]:
    """The picture's own columns at its place across the plate; turned over, the same columns at the other place."""
    sheet = placement.sheet
    assert sheet is not None
    fronts = [sheet.side_mm + placement.side_mm]
    if placement.style is WorkStyle.WORK_AND_TURN:
        fronts.append(sheet.side_mm + sheet.width_mm - placement.side_mm - plate.size_mm[1])
    found = [plate.inked_mm2((edges - side).tolist()) for side in fronts]
    return [sum(each) for each in zip(*found, strict=True)]


MEMORY = """
import sys
from pathlib import Path
import filmsplit.actions.demo_works as made
from filmsplit.formats import tiff_write
from filmsplit.library.works import GIGAPIXEL
plate = made.works()[GIGAPIXEL].plates[0]
tiff_write.group_4(plate.rows(0, tiff_write.STRIP_ROWS))
begun = int(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0])
for first in range(tiff_write.STRIP_ROWS, 8 * tiff_write.STRIP_ROWS, tiff_write.STRIP_ROWS):
    tiff_write.group_4(plate.rows(first, first + tiff_write.STRIP_ROWS))
print(begun // 1024, int(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0]) // 1024)
"""


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="only Linux tells a process its largest memory")
def test_a_very_large_plate_takes_no_more_memory_than_its_strips() -> None:
    """Eight strips of 26 million dots need no more than one, but for what one strip packed may differ from another."""
    ran = subprocess.run([sys.executable, "-c", MEMORY], capture_output=True, text=True, check=True)
    one, eight = map(int, ran.stdout.split())
    assert eight < 400
    assert eight - one < 40
