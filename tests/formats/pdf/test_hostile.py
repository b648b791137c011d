"""Every bad PDF comes to a message or a picture, within limits; nothing of it stays behind."""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterator
from pathlib import Path

import pytest

from filmsplit.formats.bounded_process import Bounds
from filmsplit.formats.coverage_file import read_coverage
from filmsplit.formats.coverage_options import CoverageOptions, CoverageRead
from filmsplit.formats.pdf import door
from filmsplit.messages import Refusal
from formats.pdf.hostile import everything
from formats.pdf.kinds import EITHER, READ, REFUSED, Kind

KINDS = dict(everything())
BOUNDS = Bounds(memory_bytes=2 * 2**30, seconds=25.0)
WITHIN = 0.005


def test_there_are_enough_kinds() -> None:
    assert len(KINDS) >= 60


@pytest.fixture(autouse=True)
def _bounds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(door, "USUAL", BOUNDS)


@pytest.fixture(autouse=True)
def _nothing_left(tmp_path: Path) -> Iterator[None]:
    """No process, no file open, none written."""
    descriptors = Path("/proc/self/fd")
    before = len(list(descriptors.iterdir())) if descriptors.exists() else 0
    yield
    assert multiprocessing.active_children() == []
    now = len(list(descriptors.iterdir())) if descriptors.exists() else 0
    assert now <= before + 1  # the first start leaves Python's own tracker of resources
    assert [each.name for each in tmp_path.iterdir()] in ([], ["page.pdf"])


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_comes_to_an_end(tmp_path: Path, name: str) -> None:
    kind = KINDS[name]
    outcome, slugs = judged(tmp_path / "page.pdf", kind)
    if kind.expected not in (EITHER, READ, REFUSED):
        assert slugs == [kind.expected]
    elif kind.expected != EITHER:
        assert outcome == kind.expected, slugs


def judged(path: Path, kind: Kind) -> tuple[str, list[str]]:
    """Whether it was read or refused, and the slugs of what was said. What is read is right."""
    path.write_bytes(kind.made())
    try:
        read = read_coverage(path, CoverageOptions())
    except Refusal as refusal:
        problems = refusal.problems
    else:
        return READ, _right(read, kind)
    assert problems
    assert all(each.what and each.remedy for each in problems)
    return REFUSED, [each.slug for each in problems]


def _right(read: CoverageRead, kind: Kind) -> list[str]:
    """The slugs of what was told."""
    shares = {each.ink: each.mean for each in read.maps}
    assert all(0 <= each <= 1 for each in shares.values())
    assert all(each.what and each.remedy for each in read.notices)
    if kind.expected == READ:
        assert shares["Cyan"] == pytest.approx(0.5, abs=WITHIN)
    return [each.slug for each in read.notices]
