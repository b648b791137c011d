"""Small good files of every kind, and ways to damage them; used by the tests and by the longer campaign."""

from __future__ import annotations

import random
import time
from functools import cache
from pathlib import Path

import numpy as np

from filmsplit.formats.coverage_file import read_coverage
from filmsplit.formats.coverage_options import CoverageOptions
from filmsplit.formats.ink_zones_reader import read_ink_zones
from filmsplit.messages import Problem, Refusal
from formats.made_ppf import job, separations
from formats.made_tickets import jdf, xjdf
from formats.made_tiff import NUMBERS, SHORT, Page, tiff
from formats.test_pictures import picture

LONGEST_S = 10.0
"""A hang shows as a failure here (this project's own bound; a small file takes milliseconds)."""
EXTREMES = (
    b"\x00" * 4,
    b"\xff" * 4,
    b"\x7f\xff\xff\xff",
    b"\xff\xff\xff\x7f",
    b"\x00\x00\x00\x01",
    b"\x01\x00\x00\x00",
)
XML_PIECES = (
    b"<",
    b">",
    b"&",
    b'"',
    b"<!DOCTYPE a>",
    b"\x00",
    b"&#0;",
    b"<!--",
    b"]]>",
    b"\xff",
    b"1e999",
    b"nan",
    b"<a>",
)


@cache
def good_files() -> tuple[bytes, ...]:
    """One of each kind."""
    rng = np.random.default_rng(1)
    dots = (rng.random((60, 150)) < 0.3).astype(np.uint8)
    grey = rng.integers(0, 256, (40, 60, 5), dtype=np.uint8)
    small = {"dpi": (300.0, 300.0)}
    tiffs = [tiff(Page(dots, packing=packing, rows_per_strip=25, **small)) for packing in NUMBERS]
    tiffs += [
        tiff(Page(dots, packing="g4", tile=(32, 64), **small), big=True, order=">"),
        tiff(Page(dots, packing="g4", **small), Page(dots, packing="lzw", **small)),
        tiff(Page(grey, bits=8, photometric=5, planar=2, packing="deflate", more={338: (SHORT, [0])}, **small)),
        tiff(Page(grey[..., 0], bits=8, packing="lzw", predictor=2, fill_order=2, **small)),
    ]
    pictures = [
        picture(dots, "1", "PNG"),
        picture(grey[..., 0], "L", "PNG"),
        picture(grey[..., 0], "L", "JPEG"),
        picture(np.ascontiguousarray(grey[..., :4]), "CMYK", "JPEG"),
    ]
    tickets = [jdf((0.1, 0.2, 0.3)), xjdf('ZoneWidth="85" ZoneSettingsX="0 0.5 1"')]
    previews = [
        job(separations([dots * 255, dots * 99]), names=["Cyan", "Black"]),
        job(separations([grey[..., 0]], encoding="Binary", compression="RunLengthDecode")),
    ]
    return (*tiffs, *pictures, *tickets, *previews)


def damaged(data: bytes, rng: random.Random) -> bytes:
    """``data`` with one to four things done to it: bytes changed, cut off, taken out, put in, set to extremes."""
    changed = bytearray(data)
    for _ in range(rng.randint(1, 4)):
        # Half of it near the beginning, where the structure is.
        at = rng.randrange(max(1, min(len(changed), 300) if rng.random() < 0.5 else len(changed)))
        way = rng.randrange(6)
        if way == 0:
            changed[at : at + 1] = bytes([rng.randrange(256)])
        elif way == 1:
            changed[at : at + 4] = rng.choice(EXTREMES)
        elif way == 2:
            del changed[at : at + rng.randint(1, 20)]
        elif way == 3:
            changed[at:at] = rng.choice((rng.randbytes(rng.randint(1, 12)), rng.choice(XML_PIECES)))
        elif way == 4:
            changed[at : at + 1] = bytes([changed[at] ^ (1 << rng.randrange(8))]) if changed else b""
        elif rng.random() < 0.3:
            del changed[at:]
        if not changed:
            changed = bytearray(b"\0")
    return bytes(changed)


def judge(path: Path, data: bytes) -> str:
    """``"read"`` or ``"refused"``; anything else, an unfinished message or a long wait raises."""
    path.write_bytes(data)
    begun = time.monotonic()
    outcome, problems = _outcome(path, ticket=data.lstrip()[:1] == b"<")
    assert time.monotonic() - begun < LONGEST_S
    assert outcome == "read" or problems
    for problem in problems:
        assert problem.what
        assert problem.remedy
    return outcome


def _outcome(path: Path, *, ticket: bool) -> tuple[str, tuple[Problem, ...]]:
    try:
        if ticket:
            for zones in read_ink_zones(path):
                assert 0 <= zones.coverage(round_mm=100.0, file="x").mean <= 1
            return "read", ()
        found = read_coverage(path, CoverageOptions(workers=2))
        assert all(0 <= each.mean <= 1 for each in found.maps)
        return "read", found.notices
    except Refusal as refusal:
        return "refused", refusal.problems
