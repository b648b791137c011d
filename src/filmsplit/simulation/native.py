"""The C kernel seen from Python: loaded if it was built, and told what to do by the marcher.

It holds no physics of its own: it is ``exchange.py`` and ``runs.py`` row by row, and the tests compare both to the bit.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from functools import cache
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path
from typing import Any

import numpy as np

from filmsplit.simulation.kernel import build

LAYOUT = 5
"""Number of the structures below; ``marching.c`` holds the same."""


class Standing(Enum):
    """Whether the C kernel marches, and why not."""

    IN_USE = "in use"
    NOT_BUILT = "not built"
    OF_OTHER_SOURCE = "built from another source"
    UNREADABLE = "not for this machine"


@dataclass(frozen=True, slots=True)
class Kernel:
    """What marches: the C kernel at ``path``, or NumPy for the reason that ``standing`` gives."""

    standing: Standing
    path: Path | None = None
    library: ctypes.CDLL | None = None


@cache
def kernel_in_use() -> Kernel:
    """The first kernel found; NumPy marches where there is none or it is refused."""
    return next((load(path) for path in _places() if path.exists()), Kernel(Standing.NOT_BUILT))


def library() -> ctypes.CDLL | None:
    """The C kernel in use, or ``None``: then NumPy marches."""
    return kernel_in_use().library


def _places() -> Iterator[Path]:
    """Where a kernel may be: among the package's files (a wheel), or beside its metadata (a checkout in use)."""
    yield build.FOLDER / build.LIBRARY
    try:
        yield Path(str(distribution("filmsplit").locate_file("filmsplit-kernel"))) / build.LIBRARY
    except PackageNotFoundError:
        return


def load(path: Path) -> Kernel:
    """The kernel in a file, refused unless it was made from the source as it is and for the layout below."""
    try:
        found = ctypes.CDLL(str(path))
        found.kernel_mark.restype, found.kernel_layout.restype = ctypes.c_uint64, ctypes.c_int64
        ours = (found.kernel_mark(), found.kernel_layout()) == (build.mark(), LAYOUT)
    except OSError:
        return Kernel(Standing.UNREADABLE, path)
    except AttributeError:  # some other library, or one from before kernels were marked
        ours = False
    return Kernel(Standing.IN_USE, path, found) if ours else Kernel(Standing.OF_OTHER_SOURCE, path)


_INT, _REAL, _POINTER = ctypes.c_int64, ctypes.c_double, ctypes.c_void_p

_FACES = ("first_a", "end_a", "first_b", "end_b")


class Work(ctypes.Structure):
    """One nip, feed, sheet take-off or sweep; mirrors the structure of the same name in ``marching.h``."""

    _fields_ = [
        *((name, _INT) for name in ("kind", "a", "b", "at_a", "at_b", *_FACES, "slides", "weigh_a", "weigh_b")),
        *((name, _INT) for name in ("whole", "turns")),
        *((name, _REAL) for name in ("share", "part")),
        *((name, _POINTER) for name in ("contact", "place_a", "place_b", "volume", "seen")),
    ]


class March(ctypes.Structure):
    """What one thread marches; mirrors the structure of the same name in ``marching.h``."""

    _fields_ = [
        *((name, _INT) for name in ("works", "loops", "columns", "first", "end", "held", "width", "pitch")),
        *((name, _INT) for name in ("cover_pitch", "rows", "block", "lead", "segments", "parts")),
        *((name, _POINTER) for name in ("work", "left", "right", "surface")),
        *((name, _POINTER) for name in ("size", "steps", "turn", "start", "moves", "active")),
        *((name, _POINTER) for name in ("cover", "takes", "sheet", "sheet_sum", "printed", "fed", "ductor_sum")),
        ("tau", _REAL),
        *((name, _POINTER) for name in ("gain", "arrived")),
    ]


def address(array: np.ndarray[Any, Any] | None, column: int = 0) -> int | None:
    """Where an array's numbers begin, from a column of its first row on; the caller keeps it alive."""
    if array is None:
        return None
    assert not array.size or array.strides[-1] == array.itemsize, "the kernel reads a row's cells one after another"
    return array.ctypes.data + column * array.itemsize


def march(asked: March, dtype: str) -> None:
    """March what is asked in the precision of ``dtype``. Parts that know each other wait for each other."""
    loaded = library()
    assert loaded is not None
    function = loaded.march_double if dtype == "float64" else loaded.march_single
    function(ctypes.byref(asked))
