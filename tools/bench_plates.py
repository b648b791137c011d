"""Measure the reading of plate files as ratios in one run, and its memory on five gigapixels.

    python tools/bench_plates.py            ratios for each packing, then the memory
    python tools/bench_plates.py memory F   only read F in this process and print what it took (used by the above)

Plates are made on the fly: a turned halftone screen over a ramp of tints, some solid bars, some paper. The strips of a
file are a few different ones, listed again and again; whoever reads it unpacks every one.
"""

from __future__ import annotations

import io
import resource
import statistics
import struct
import subprocess
import sys
import tempfile
import time
import zlib
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import imagecodecs
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from filmsplit.formats.coverage_file import read_coverage
from filmsplit.formats.coverage_options import CoverageOptions

Bytes = NDArray[np.uint8]

WIDTH, STRIP_ROWS, STRIPS = 34016, 512, 96
"""36 cm at 2400 dpi across; 96 strips are 52 cm: 1.67 gigapixels."""
LARGE_STRIPS = 288
"""5.0 gigapixels."""
DIFFERENT = 6
RUNS = 5
NUMBERS = {"none": 1, "g4": 4, "lzw": 5, "deflate": 8, "packbits": 32773}


def main(arguments: list[str]) -> None:
    """Print both tables."""
    if arguments[:1] == ["memory"]:
        print(_read_here(Path(arguments[1]), workers=int(arguments[2])))
        return
    strips = [_strip(number) for number in range(DIFFERENT)]
    print(f"{WIDTH} x {STRIP_ROWS * STRIPS} dots, {WIDTH * STRIP_ROWS * STRIPS / 1e9:.2f} gigapixels")
    print("seconds of processor time; the second core by the clock")
    print(
        f"{'packing':10} {'MB':>6} {'codec':>7} {'+ bytes':>7} {'read':>7} {'of codec':>9} {'of both':>8} {'2nd x':>10}"
    )
    with tempfile.TemporaryDirectory() as folder:
        for packing in NUMBERS:
            _row(packing, strips, Path(folder))
        print(f"\n{WIDTH} x {STRIP_ROWS * LARGE_STRIPS} dots, {WIDTH * STRIP_ROWS * LARGE_STRIPS / 1e9:.2f} gigapixels")
        print(f"{'packing':10} {'workers':>7} {'largest MB in memory, seconds':>30}")
        for packing in NUMBERS:
            path = _file(Path(folder), packing, [_packed(strip, packing) for strip in strips], strips=LARGE_STRIPS)
            for workers in (1, 2):
                command = [sys.executable, __file__, "memory", str(path), str(workers)]
                done = subprocess.run(command, capture_output=True, text=True, check=True)
                print(f"{packing:10} {workers:7d} {done.stdout.strip():>30}", flush=True)
            path.unlink()


def _row(packing: str, strips: list[Bytes], folder: Path) -> None:
    """The codec alone, the codec fetching its bytes from the file, the reader on one core, the reader on two; in turns,
    so that a busy machine hits all alike.
    """
    packed = [_packed(strip, packing) for strip in strips]
    path = _file(folder, packing, packed, strips=STRIPS)
    taken = [[_timed(work) for work in _works(packing, packed, path)] for _ in range(RUNS)]
    each = [[statistics.median(values) for values in zip(*work, strict=True)] for work in zip(*taken, strict=True)]
    (codec, _), (fetching, _), (one, one_clock), (_, two_clock) = each
    size = sum(map(len, packed)) * STRIPS / DIFFERENT / 1e6
    shares = f"{codec / one:9.0%} {fetching / one:8.0%} {one_clock / two_clock:10.2f}"
    print(f"{packing:10} {size:6.0f} {codec:7.2f} {fetching:7.2f} {one:7.2f} {shares}", flush=True)
    path.unlink()


def _works(packing: str, packed: list[bytes], path: Path) -> tuple[Callable[[], object], ...]:
    return (
        lambda: _codec(packing, (packed[strip % DIFFERENT] for strip in range(STRIPS))),
        lambda: _codec(packing, _fetched(path, packed)),
        lambda: read_coverage(path, CoverageOptions(workers=1)),
        lambda: read_coverage(path, CoverageOptions(workers=2)),
    )


def _timed(work: Callable[[], object]) -> tuple[float, float]:
    """Processor time, which others on the machine hardly change, and the clock."""
    begun = time.process_time(), time.perf_counter()
    work()
    return time.process_time() - begun[0], time.perf_counter() - begun[1]


def _fetched(path: Path, packed: list[bytes]) -> Iterator[bytes]:
    """Each strip out of the file, as whoever reads it has to."""
    begins = path.stat().st_size - np.cumsum([0, *map(len, reversed(packed))])
    with path.open("rb") as file:
        for strip in range(STRIPS):
            number = strip % DIFFERENT
            file.seek(int(begins[DIFFERENT - number]))
            yield file.read(len(packed[number]))


def _codec(packing: str, strips: Iterable[bytes]) -> None:
    """Every strip through the codec, into memory that is there already; a copy where nothing is packed."""
    out = np.empty((STRIP_ROWS, WIDTH // 8), dtype=np.uint8)
    flat = out.reshape(-1).data
    dots = np.empty((STRIP_ROWS, WIDTH), dtype=np.uint8) if packing == "g4" else out
    decode: dict[str, Callable[[bytes], object]] = {
        "none": lambda data: np.copyto(out.reshape(-1), np.frombuffer(data, np.uint8)),
        "g4": lambda data: imagecodecs.ccittfax4_decode(data, STRIP_ROWS, WIDTH, out=dots),
        "lzw": lambda data: imagecodecs.lzw_decode(data, out=flat),
        "deflate": lambda data: imagecodecs.deflate_decode(data, out=flat),
        "packbits": lambda data: imagecodecs.packbits_decode(data, out=flat),
    }
    for strip in strips:
        decode[packing](strip)


def _strip(number: int) -> Bytes:
    """Rows of packed dots: a screen of 175 lines to the inch at 15 degrees, tints from 2 to 60 %, bars, paper."""
    rows = np.arange(STRIP_ROWS, dtype=np.float32)[:, None] + number * STRIP_ROWS
    columns = np.arange(WIDTH, dtype=np.float32)[None, :]
    pitch, turn = 2400 / 175, np.deg2rad(15)
    along = (columns * np.cos(turn) + rows * np.sin(turn)) * (2 * np.pi / pitch)
    beside = (rows * np.cos(turn) - columns * np.sin(turn)) * (2 * np.pi / pitch)
    height = (np.cos(along) + np.cos(beside)) / 4 + 0.5
    tint = 0.02 + 0.58 * np.abs(np.sin(columns * 6 / WIDTH + number))
    dots = height > 1 - tint
    dots[:, columns[0] % 9000 > 7600] = False
    dots[:, (columns[0] % 9000 > 8000) & (columns[0] % 9000 < 8200)] = True
    return np.packbits(dots, axis=1)


def _packed(strip: Bytes, packing: str) -> bytes:
    if packing == "g4":
        file = io.BytesIO()
        picture = Image.fromarray(np.unpackbits(strip, axis=1)[:, :WIDTH].astype(bool))
        picture.save(file, "TIFF", compression="group4", strip_size=1 << 30)
        tags = Image.open(io.BytesIO(file.getvalue())).tag_v2  # type: ignore[attr-defined]
        return file.getvalue()[tags[273][0] :][: tags[279][0]]
    packers: dict[str, Callable[[bytes], bytes]] = {
        "none": bytes,
        "lzw": lambda data: bytes(imagecodecs.lzw_encode(data)),
        "deflate": zlib.compress,
        "packbits": lambda data: bytes(imagecodecs.packbits_encode(np.frombuffer(data, np.uint8))),
    }
    return packers[packing](strip.tobytes())


def _file(folder: Path, packing: str, packed: list[bytes], *, strips: int) -> Path:
    """A TIFF file whose strips are the given ones in turn."""
    sizes = [len(packed[number % DIFFERENT]) for number in range(strips)]
    lists = 8 + 8 * strips
    begins = lists + 16 + 12 * 10 + 6 + np.cumsum([0, *map(len, packed)])
    offsets = [int(begins[number % DIFFERENT]) for number in range(strips)]
    entries = [
        (256, 4, 1, WIDTH),
        (257, 4, 1, STRIP_ROWS * strips),
        (258, 3, 1, 1),
        (259, 3, 1, NUMBERS[packing]),
        (262, 3, 1, 0),
        (273, 4, strips, 8),
        (278, 4, 1, STRIP_ROWS),
        (279, 4, strips, 8 + 4 * strips),
        (282, 5, 1, lists),
        (283, 5, 1, lists + 8),
    ]
    path = folder / f"{packing}.tif"
    with path.open("wb") as file:
        file.write(struct.pack("<2sHL", b"II", 42, lists + 16))
        file.write(struct.pack(f"<{2 * strips}L", *offsets, *sizes))
        file.write(struct.pack("<4L", 2400, 1, 2400, 1))
        file.write(struct.pack("<H", len(entries)))
        file.write(b"".join(struct.pack("<HHLL", *entry) for entry in entries))
        file.write(struct.pack("<L", 0))
        file.write(b"".join(packed))
    return path


def _read_here(path: Path, *, workers: int) -> str:
    begun = time.perf_counter()
    read_coverage(path, CoverageOptions(workers=workers))
    seconds = time.perf_counter() - begun
    return f"{_most_mb():.0f}  {seconds:.1f}"


def _most_mb() -> float:
    """The most memory this process has held. Linux tells it of the program itself; elsewhere, and in what the system
    counts for a child, the parent's memory at the start is in it.
    """
    status = Path("/proc/self/status")
    if status.exists():
        return float(status.read_text(encoding="utf-8").split("VmHWM:")[1].split()[0]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main(sys.argv[1:])
