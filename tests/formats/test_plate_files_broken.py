"""Bad plate files, each with its message: no crash, no hang, no silence.

Counts are small here; the campaign (tests/campaigns/plate_files.py) has more.
"""

from __future__ import annotations

import os
import random
import struct
import threading
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from filmsplit.formats.coverage_file import read_coverage
from filmsplit.messages import Refusal
from formats.made_tiff import LONG, NUMBERS, RATIONAL, SHORT, Page, packed, tiff
from formats.plate_mutations import damaged, good_files, judge
from formats.plate_work import bits, grey, refused
from formats.test_pictures import picture

EXAMPLES = int(os.environ.get("FILMSPLIT_FUZZ_EXAMPLES", "300"))
SMALL = {"dpi": (508.0, 508.0)}


@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(kind=st.integers(0, len(good_files()) - 1), seed=st.integers(0, 2**32))
def test_any_damage(tmp_path_factory: pytest.TempPathFactory, kind: int, seed: int) -> None:
    judge(tmp_path_factory.getbasetemp() / "damaged", damaged(good_files()[kind], random.Random(seed)))


@settings(max_examples=EXAMPLES // 3, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(
    begin=st.sampled_from(
        [b"", b"II*\0", b"MM\0*", b"II+\0\x08\0\0\0", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"<JDF "]
    ),
    rest=st.binary(max_size=300),
)
def test_any_bytes(tmp_path_factory: pytest.TempPathFactory, begin: bytes, rest: bytes) -> None:
    judge(tmp_path_factory.getbasetemp() / "any", begin + rest)


@pytest.mark.parametrize("kind", range(len(good_files())))
def test_the_good_files_are_good(tmp_path: Path, kind: int) -> None:
    assert judge(tmp_path / "good", good_files()[kind]) == "read"


@pytest.mark.parametrize("packing", NUMBERS)
@pytest.mark.parametrize("kept", [0.02, 0.3, 0.9, 0.999])
def test_files_cut_short(tmp_path: Path, packing: str, kept: float) -> None:
    data = tiff(Page(bits(), packing=packing, rows_per_strip=100, **SMALL))
    assert refused(tmp_path / "plate.tif", data[: int(kept * len(data))]) == ["plate-file-cut-short"]


@pytest.mark.parametrize("packing", ["rle", "g3", "g4", "lzw", "deflate", "packbits"])
def test_a_strip_cut_short_inside_a_whole_file(tmp_path: Path, packing: str) -> None:
    """The strip's length says so much, and so much is there; only the rows are missing."""
    data = tiff(Page(bits(), packing=packing, **SMALL))
    length = len(packed(bits()[..., None], Page(bits(), packing=packing))[0])
    assert data.count(struct.pack("<HHLL", 279, 4, 1, length)) == 1
    for less in (length // 2, length - 8):
        short = data.replace(struct.pack("<HHLL", 279, 4, 1, length), struct.pack("<HHLL", 279, 4, 1, less))
        assert refused(tmp_path / "plate.tif", short) in (["tiff-piece-damaged"], ["tiff-pieces-too-short"])


@pytest.mark.parametrize("packing", ["g3", "g4"])
def test_damaged_fax_codes_do_not_pass_as_paper(tmp_path: Path, packing: str) -> None:
    """Every tenth bit of the codes turned, one at a time. A code may turn into another of the same length, which nobody
    can tell; what does not come to the rows it should is refused."""
    rng = np.random.default_rng(2)
    dots = (rng.random((30, 400)) < 0.4).astype(np.uint8)
    page = Page(dots, packing=packing, **SMALL)
    data = tiff(page)
    strip = len(data) - len(packed(dots[..., None], page)[0])
    outcomes = []
    for bit in range(0, 8 * (len(data) - strip) - 40, 10):
        broken = bytearray(data)
        broken[strip + bit // 8] ^= 1 << (bit % 8)
        outcomes.append(judge(tmp_path / "plate.tif", bytes(broken)))
    assert outcomes.count("refused") > 0.8 * len(outcomes)


def page(more: dict[int, tuple[int, Any]], **kind: Any) -> bytes:
    return tiff(Page(bits(20) if kind.get("bits", 1) == 1 else grey(20), **{**SMALL, **kind}, more=more))


ONE, MANY = (SHORT, [1]), (LONG, [10, 10])


@pytest.mark.parametrize(
    ("data", "slugs"),
    [
        (b"", ["plate-file-empty"]),
        (b"%PDF-1.7 something", ["pdf-damaged"]),
        (b"II*\0", ["plate-file-cut-short"]),
        (b"II*\0\0\0\0\0", ["tiff-directory-damaged"]),
        (b"II*\0\x08\0\0\0\0\0\0\0\0\0", ["tiff-directory-damaged"]),
        (page({256: (LONG, [0])}), ["plate-too-many-dots"]),
        (page({256: (LONG, [2**32 - 1]), 257: (LONG, [2**32 - 1])}), ["plate-too-many-dots"]),
        (page({282: (RATIONAL, [1.0]), 283: (RATIONAL, [1.0])}), ["plate-resolution-absurd"]),
        (page({282: (RATIONAL, [1e6]), 283: (RATIONAL, [1e6])}), ["plate-resolution-absurd"]),
        (page({282: (RATIONAL, [25.0]), 283: (RATIONAL, [25.0])}), ["plate-size-absurd"]),
        (page({262: (SHORT, [2])}), ["plate-picture-in-colours"]),
        (page({262: (SHORT, [3])}), ["plate-picture-in-colours"]),
        (page({258: (SHORT, [16])}), ["tiff-bits-not-read"]),
        (page({339: (SHORT, [3])}, bits=8), ["tiff-bits-not-read"]),
        (page({259: (SHORT, [7])}), ["tiff-packing-not-read"]),
        (page({259: (SHORT, [4])}, bits=8), ["tiff-packing-not-read"]),
        (page({317: (SHORT, [3])}, bits=8), ["tiff-packing-not-read"]),
        (page({277: (SHORT, [3])}, bits=8), ["tiff-samples-not-read"]),
        (page({277: (SHORT, [2]), 262: (SHORT, [5])}), ["tiff-bits-interleaved"]),
        (page({338: (SHORT, [2])}, bits=8), ["tiff-transparency"]),
        (page({336: (SHORT, [16, 235])}, bits=8), ["tiff-tag-wrong"]),
        (page({274: (SHORT, [9])}), ["tiff-tag-wrong"]),
        (page({278: (RATIONAL, [1.0])}), ["tiff-directory-damaged"]),
        (page({266: (SHORT, [3])}), ["tiff-tag-wrong"]),
        (page({278: (LONG, [0])}), ["tiff-tag-wrong"]),
        (page({278: (LONG, [7])}), ["tiff-pieces-do-not-fit"]),
        (page({279: MANY}), ["tiff-pieces-do-not-fit"]),
        (page({279: (LONG, [0])}), ["tiff-pieces-too-short"]),
        (page({279: (LONG, [2**32 - 1])}), ["plate-file-cut-short"]),
        (
            page({257: (LONG, [10**5]), 278: (LONG, [10**5])}, dpi=(5080.0, 508.0), packing="packbits"),
            ["tiff-pieces-too-short"],
        ),
        (
            page({257: (LONG, [20_000]), 278: (LONG, [20_000])}, dpi=(5080.0, 508.0), packing="g4"),
            ["tiff-pieces-too-short"],
        ),
        (page({262: (SHORT, [2]), 258: (SHORT, [16]), 259: (SHORT, [7])}, dpi=None), None),
        (tiff(*[Page(bits(1), **SMALL)] * 65), ["tiff-too-many-pages"]),
        (page({254: (SHORT, [1])}), ["tiff-without-pages"]),
    ],
    ids=range(34),
)
def test_each_has_its_message(tmp_path: Path, data: bytes, slugs: list[str] | None) -> None:
    everything = ["plate-picture-in-colours", "tiff-bits-not-read", "tiff-packing-not-read", "plate-resolution-missing"]
    assert refused(tmp_path / "plate.tif", data) == (everything if slugs is None else slugs)


def test_missing_tags_are_named(tmp_path: Path) -> None:
    data = tiff(Page(bits(20), **SMALL))
    for tag in (256, 257, 262, 273, 279):
        missing = data.replace(struct.pack("<HH", tag, 3 if tag == 262 else 4), struct.pack("<HH", 60_000, 4))
        assert refused(tmp_path / "plate.tif", missing) == ["tiff-tag-missing"]


def test_pages_in_a_circle(tmp_path: Path) -> None:
    data = bytearray(tiff(Page(bits(20), **SMALL)))
    entries = int.from_bytes(data[8:10], "little")
    data[10 + 12 * entries : 14 + 12 * entries] = struct.pack("<L", 8)
    assert refused(tmp_path / "plate.tif", bytes(data)) == ["tiff-directory-damaged"]


def test_files_that_cannot_be_opened(tmp_path: Path) -> None:
    for path in (tmp_path / "none.tif", tmp_path):
        with pytest.raises(Refusal) as refusal:
            read_coverage(path)
        assert refusal.value.problems[0].slug == "file-not-readable"


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_pictures_cut_short(tmp_path: Path, kind: str) -> None:
    data = picture(grey(100), "L", kind)
    assert refused(tmp_path / "grey", data[: len(data) // 2]) == ["picture-damaged"]


def test_a_picture_that_says_it_is_huge(tmp_path: Path) -> None:
    """A PNG head of 30 000 x 30 000 dots with nothing behind it (its checksum is right)."""
    head = b"IHDR" + struct.pack(">LLBBBBB", 30_000, 30_000, 8, 0, 0, 0, 0)
    size = b"pHYs" + struct.pack(">LLB", 20_000, 20_000, 1)
    chunks = [
        struct.pack(">L", len(each) - 4) + each + struct.pack(">L", zlib.crc32(each)) for each in (head, size, b"IDAT")
    ]
    data = b"\x89PNG\r\n\x1a\n" + b"".join(chunks)
    assert refused(tmp_path / "huge.png", data) == ["picture-too-large"]


def test_nothing_stays_open_or_behind(tmp_path: Path) -> None:
    """Threads, files and temporary files after a hundred refusals."""
    descriptors = Path("/proc/self/fd")
    if not descriptors.exists():
        pytest.skip("only Linux lists a process's open files")
    data = bytearray(tiff(Page(bits(), packing="lzw", rows_per_strip=10, **SMALL)))
    data[-3000:] = b"\xff" * 3000
    judge(tmp_path / "plate.tif", bytes(data))
    before = (len(list(descriptors.iterdir())), threading.active_count())
    for _ in range(100):
        judge(tmp_path / "plate.tif", bytes(data))
    assert (len(list(descriptors.iterdir())), threading.active_count()) == before
