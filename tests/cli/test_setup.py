"""`filmsplit setup` as typed: what it prints, writes and refuses."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from cli.terminal import run
from filmsplit.formats.ink_zones_reader import read_ink_zones
from reports.pages import pages

Capture = pytest.CaptureFixture[str]
ZONES = "4 12 16 20 22 16 10 6"


@pytest.fixture(scope="module", autouse=True)
def no_records_of_this_machine(tmp_path_factory: pytest.TempPathFactory) -> None:
    patch = pytest.MonkeyPatch()
    patch.setenv("FILMSPLIT_RECORDS", str(tmp_path_factory.mktemp("none") / "shop.records"))


def test_page_paper_tickets_and_csv_say_the_same(capsys: Capture, tmp_path: Path) -> None:
    out = tmp_path / "out"
    ran = run(
        capsys, "setup", "dipper", ZONES, "--title", "Order form", "--stock", "offset 90", "--run", "2000",
        "--constants", "1.9,1.4", "--paper", str(out), "--xjdf", str(out / "a.xjdf"), "--jdf", str(out / "a.jdf"),
        "--csv", str(out / "a.csv"), "--json",
    )  # fmt: skip
    assert ran.code == 0, ran.err
    answer = json.loads(ran.out)
    assert answer["filmsplit"] == "setup 1"
    keys = answer["units"][0]["keys"]
    assert {path.name for path in out.iterdir()} == {
        "a.xjdf", "a.jdf", "a.csv", "dipper-order-form-setup.pdf", "dipper-order-form-keys.pdf",
    }  # fmt: skip
    rows = list(csv.DictReader((out / "a.csv").read_text().splitlines()))
    assert [float(row["key"]) for row in rows] == [key["reading"] for key in keys]
    for name in ("a.xjdf", "a.jdf"):
        (profile,) = read_ink_zones(out / name)
        # The sheet covers the inner six zones whole: there a ticket's share is the coverage typed.
        assert profile.shares[1:-1] == pytest.approx([0.12, 0.16, 0.20, 0.22, 0.16, 0.10], abs=1e-4)
    text = " ".join(page.text for page in pages((out / "dipper-order-form-setup.pdf").read_bytes()))
    assert "Order form" in text
    printed = run(capsys, "setup", "dipper", ZONES, "--run", "2000", "--constants", "1.9,1.4").out
    for key in keys:
        assert f"{key['reading']:.4g}" in printed
        assert f"{key['density']:.2f}" in printed
    assert "The first sheets" in printed


def test_a_file_in_the_way_stops_it_before_anything_is_written(capsys: Capture, tmp_path: Path) -> None:
    taken = tmp_path / "a.csv"
    taken.write_text("mine")
    ran = run(capsys, "setup", "dipper", ZONES, "--csv", str(taken), "--paper", str(tmp_path / "out"))
    assert ran.code == 2
    assert taken.read_text() == "mine"
    assert not (tmp_path / "out").exists()
    paper = tmp_path / "dipper-setup.pdf"
    paper.write_text("mine")
    assert run(capsys, "setup", "dipper", ZONES, "--paper", str(tmp_path)).code == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.csv", "dipper-setup.pdf"]
    assert run(capsys, "setup", "dipper", ZONES, "--paper", str(tmp_path), "--over").code == 0
    assert paper.read_bytes().startswith(b"%PDF")


def test_all_that_cannot_be_read_is_told_at_once(capsys: Capture) -> None:
    ran = run(
        capsys, "setup", "dipper", ZONES, "--sheet", "big", "--constants", "1.9", "--key-range", "85-10",
        "--repeat", "2x1", "--pass", "A", "--plate-curve", "50:30,60:20",
    )  # fmt: skip
    assert ran.code == 2
    for word in ("--sheet 'big'", "--constants '1.9'", "85-10", "how far apart", "--pass 'A'", "--plate-curve"):
        assert word in ran.err, word


def test_limits_and_sweep_are_the_shops_own(capsys: Capture) -> None:
    told = ("--sweep", "3", "--key-range", "20-70", "--json")
    unit = json.loads(run(capsys, "setup", "dipper", ZONES, *told).out)["units"][0]
    assert unit["sweep"]["reading"] == 3
    # A key is set to the half division: at most one part in forty of its range beyond the fit's end.
    assert all(0.175 <= key["opening"] <= 0.70 for key in unit["keys"])
