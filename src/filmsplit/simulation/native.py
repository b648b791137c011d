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

LAYOUT = 2
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

WORK_NUMBERS = (
    "kind",
    "a",
    "b",
    "at_a",
    "at_b",
    "first_a",
    "end_a",
    "first_b",
    "end_b",
    "active",
    "weigh_a",
    "weigh_b",
)


class Work(ctypes.Structure):
    """One nip, feed or sheet take-off; mirrors the structure of the same name in ``marching.h``."""

    _fields_ = [
        *((name, _INT) for name in WORK_NUMBERS),
        ("share", _REAL),
        *((name, _POINTER) for name in ("contact", "place_a", "place_b", "volume", "seen")),
    ]


class Stretch(ctypes.Structure):
    """A stretch of steps; mirrors the structure of the same name in ``marching.h``."""

    _fields_ = [
        *((name, _INT) for name in ("works", "loops", "columns", "rows", "block", "lead", "step", "steps")),
        ("work", _POINTER),
        ("surface", _POINTER),
        *((name, _POINTER) for name in ("size", "start", "moves", "cover", "image", "blanket_cover", "takes", "sheet")),
        *((name, _POINTER) for name in ("sheet_sum", "printed", "fed", "ductor_sum")),
        ("tau", _REAL),
        ("gain", _POINTER),
    ]


def address(array: np.ndarray[Any, Any] | None) -> int | None:
    """Where an array's numbers are; it must be whole in memory and kept alive by the caller."""
    if array is None:
        return None
    assert array.flags.c_contiguous, "the kernel reads rows one after another"
    return array.ctypes.data


def run(stretch: Stretch, dtype: str) -> None:
    """Make the stretch in the precision of ``dtype``."""
    loaded = library()
    assert loaded is not None
    function = loaded.march_double if dtype == "float64" else loaded.march_single
    function(ctypes.byref(stretch))
