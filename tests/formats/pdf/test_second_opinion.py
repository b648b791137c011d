"""Whole files through the door, zone by zone, against another program's separations. The campaign
(tests/campaigns/pdf_second_opinion.py) does the same with files not made by us."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from formats.pdf.raw_pdf import HALF, page
from formats.pdf.second_opinion import OTHER, PROFILE, WITHIN, ZONES, compared

LIST = Path(__file__).with_name("free_pdfs.toml")
BARS = b"".join(b"0 0.%d 0 0 k %d 0 8 100 re f\n" % (each, 10 * each) for each in range(1, 9))


@pytest.mark.skipif(OTHER is None or not PROFILE.exists(), reason="no other program to ask")
@pytest.mark.parametrize("content", [HALF, BARS, b"0.9 0.5 0.1 rg 0 0 m 100 0 l 100 90 l f\n"])
def test_zones_of_both_are_alike(tmp_path: Path, content: bytes) -> None:
    """The page is so wide that zones end between dots of both: 75 and 100 to a zone."""
    path = tmp_path / "page.pdf"
    path.write_bytes(page(b"4.32 0 0 4.32 0 0 cm\n" + content, entries=b"/MediaBox [0 0 432 432]"))
    found = compared(path, page=1)
    assert sum(means.sum() for means in found.ours.values()) > 1
    assert all(means.size == ZONES for means in (*found.ours.values(), *found.other.values()))
    assert all(abs(difference) <= WITHIN for difference, _, _ in found.worst)


def test_the_list_of_free_files_is_whole() -> None:
    files = tomllib.loads(LIST.read_text(encoding="utf-8"))["file"]
    assert len(files) >= 20
    assert len({each["sha256"] for each in files}) == len(files)
    assert all(each["origin"] and each["licence"] and len(each["sha256"]) == 64 and each["page"] > 0 for each in files)
