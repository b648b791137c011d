"""Work on the plate of a press: every way in brings the same shares to the same zones, worked out here by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from filmsplit.actions.find import find_press
from filmsplit.actions.work import WorkAsked, read_work, told_work
from filmsplit.artwork import StepAndRepeat, Turn, WorkStyle
from filmsplit.messages import Refusal
from filmsplit.press import Press, Unit

DPI = 508.0
"""20 dots to the millimetre."""
SHEET_MM = (440.0, 320.0)
"""On Heron: zones of 33 mm from 5 to 335 mm, the sheet from 10 to 330 mm (both in the press file)."""
UNDER_MM = np.array([28.0, *[33.0] * 8, 28.0])
"""Width of each zone under that sheet, by hand."""


@pytest.fixture(scope="module")
def heron() -> Press:
    return find_press("heron").press


@pytest.fixture(scope="module")
def unit(heron: Press) -> Unit:
    return heron.units[0]


def strips(path: Path, *solid_mm: tuple[float, float], long_mm: int = 100, wide_mm: int = 320) -> Path:
    """A bit picture with solid strips from lead to tail, each (first, end) in mm from its left side."""
    dots = np.zeros((long_mm * 20, wide_mm * 20), dtype=bool)
    for first, end in solid_mm:
        dots[:, round(first * 20) : round(end * 20)] = True
    Image.fromarray(~dots).save(path, compression="group4", dpi=(DPI, DPI))
    return path


def refused(asked: WorkAsked, press: Press) -> set[str]:
    with pytest.raises(Refusal) as refusal:
        read_work(asked, press, press.units[0])
    return {problem.slug for problem in refusal.value.problems}


def test_typed_figures_are_for_the_part_of_a_zone_under_the_sheet(heron: Press, unit: Unit) -> None:
    work = read_work(WorkAsked(what=("2 5 10 20 30 30 20 10", "5 2"), sheet_mm=SHEET_MM), heron, unit)
    (plate,) = work.plates
    shares = np.array([2, 5, 10, 20, 30, 30, 20, 10, 5, 2]) / 100
    assert plate.zones == pytest.approx(shares, abs=1e-9)
    assert plate.whole_zones == pytest.approx(shares * UNDER_MM / 33, abs=1e-9)
    down, across = plate.edges_mm
    area_mm2 = float(np.diff(down) @ plate.coverage @ np.diff(across))
    assert area_mm2 == pytest.approx(float(shares @ UNDER_MM) * 440, rel=1e-9)
    assert (down[0], down[-1], across[0], across[-1]) == pytest.approx((0, 440, 0, 320))


def test_a_plate_file_lies_in_the_middle_and_says_so(tmp_path: Path, heron: Press, unit: Unit) -> None:
    # Strips of 3 mm from 28 - 3 mm (all in zone 1) and of 10 mm across the edge of zones 5 and 6 (at 160 mm).
    path = strips(tmp_path / "strips.tif", (25.0, 28.0), (155.0, 165.0))
    work = read_work(WorkAsked(what=(str(path),), sheet_mm=SHEET_MM), heron, unit)
    by_hand = np.zeros(10)
    by_hand[0], by_hand[4], by_hand[5] = 3 / 28, 5 / 33, 5 / 33
    assert work.plates[0].zones == pytest.approx(by_hand * 100 / 440, abs=1e-3)  # the picture is 100 of 440 mm long
    assert "setup-assumed-place" in {notice.slug for notice in work.notices}
    assert any("strips.tif" in line for line in told_work(work))
    assert work.inks == ("strips",)


def test_place_turn_mirror_and_repeats_move_the_image_to_the_zones_they_say(
    tmp_path: Path, heron: Press, unit: Unit
) -> None:
    path = str(strips(tmp_path / "one.tif", (0.0, 10.0), long_mm=60, wide_mm=60))
    told = {"what": (path,), "sheet_mm": SHEET_MM, "lead_mm": 20.0, "side_mm": 28.0}

    def inked_mm2(**more: object) -> np.ndarray:
        plate = read_work(WorkAsked(**{**told, **more}), heron, unit).plates[0]  # type: ignore[arg-type]
        return plate.whole_zones * 33 * 440

    # At 28 mm zone 2 begins. The strip is 10 x 60 mm; mirrored it stands at 78 to 88 mm, in zone 3 (61 to 94 mm).
    assert inked_mm2() == pytest.approx([0, 600, *[0] * 8], abs=1e-6)
    assert inked_mm2(mirrored=True) == pytest.approx([0, 0, 600, *[0] * 7], abs=1e-6)
    # A quarter clockwise the left side becomes the top: 60 mm across (33 in zone 2, 27 in zone 3), 10 mm long.
    assert inked_mm2(turn=Turn.QUARTER) == pytest.approx([0, 330, 270, *[0] * 7], abs=1e-6)
    twice = StepAndRepeat(times_across=2, step_across_mm=66.0)
    assert inked_mm2(repeat=twice) == pytest.approx([0, 600, 0, 600, *[0] * 6], abs=1e-6)
    # Work and turn brings the back to 320 - 28 - 60 = 232 mm from the side: 232 to 242 mm, zone 8 (226 to 259 mm).
    turned = inked_mm2(style=WorkStyle.WORK_AND_TURN)
    assert turned == pytest.approx([0, 600, 0, 0, 0, 0, 0, 600, 0, 0], abs=1e-6)


def test_several_files_are_several_inks_of_one_size(tmp_path: Path, heron: Press, unit: Unit) -> None:
    black, red = strips(tmp_path / "black.tif", (0.0, 28.0)), strips(tmp_path / "red.tif", (28.0, 61.0))
    work = read_work(WorkAsked(what=(str(black), str(red)), sheet_mm=SHEET_MM), heron, unit)
    assert work.inks == ("black", "red")
    assert work.plates[0].zones[0] == pytest.approx(100 / 440, abs=1e-3)
    assert work.plates[1].zones[1] == pytest.approx(100 / 440, abs=1e-3)
    named = WorkAsked(what=(str(black), str(red)), sheet_mm=SHEET_MM, inks=("line", "spot"))
    assert read_work(named, heron, unit).inks == ("line", "spot")
    other = strips(tmp_path / "other.tif", (0.0, 5.0), long_mm=90)
    assert refused(WorkAsked(what=(str(black), str(other))), heron) == {"setup-files-of-two-sizes"}
    assert refused(WorkAsked(what=(str(black),), inks=("a", "b")), heron) == {"plate-inks-do-not-fit"}


def ticket(path: Path, shares: list[float], zone_mm: float = 33.0) -> Path:
    settings = " ".join(map(str, shares))
    width = zone_mm / 25.4 * 72
    profile = f'<InkZoneProfile ZoneWidth="{width}" ZoneSettingsX="{settings}"/>'
    text = f'<JDF xmlns="http://www.CIP4.org/JDFSchema_1_1"><ResourcePool>{profile}</ResourcePool></JDF>'
    path.write_text(text)
    return path


def test_a_ticket_counts_whole_zones_and_lies_in_the_middle(tmp_path: Path, heron: Press, unit: Unit) -> None:
    shares = [0.02, 0.05, 0.1, 0.2, 0.3, 0.3, 0.2, 0.1, 0.05, 0.02]
    path = ticket(tmp_path / "job.jdf", shares)
    work = read_work(WorkAsked(what=(str(path),), sheet_mm=SHEET_MM), heron, unit)
    assert work.plates[0].whole_zones == pytest.approx(shares, abs=1e-6)
    assert work.plates[0].zones == pytest.approx(np.array(shares) * 33 / UNDER_MM, abs=1e-6)
    # The first of 11 zones begins at 170 - 181.5 mm, beside the sheet by more than its own width less 11.5 mm.
    full = ticket(tmp_path / "full.jdf", [0.9, *[0.1] * 10])
    assert refused(WorkAsked(what=(str(full),), sheet_mm=SHEET_MM), heron) == {"setup-zone-beside-sheet"}
    beside = strips(tmp_path / "a.tif", (0.0, 5.0))
    assert refused(WorkAsked(what=(str(path), str(beside))), heron) == {"setup-ticket-beside-files"}


def test_what_cannot_lie_there_is_refused(tmp_path: Path, heron: Press) -> None:
    path = str(strips(tmp_path / "wide.tif", (0.0, 320.0)))
    assert refused(WorkAsked(what=(path,), sheet_mm=(440.0, 300.0)), heron) == {"artwork-off-the-sheet"}
    assert refused(WorkAsked(what=(path,), sheet_mm=(440.0, 400.0)), heron) == {"film-sheet-too-large"}
    assert refused(WorkAsked(what=("5 5",)), heron) == {"coverage-zones-do-not-fit"}
    narrow = WorkAsked(what=("5 5 5 5 5 5 5 5 5 5",), sheet_mm=(440.0, 200.0))
    assert refused(narrow, heron) == {"setup-zone-beside-sheet"}
    assert refused(WorkAsked(what=(str(tmp_path / "none.tif"),)), heron) == {"file-not-readable"}
