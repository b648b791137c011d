"""The C kernel seen from Python: loaded if it was built, and told what to do by the marcher.

It holds no physics of its own: it is ``exchange.py`` and ``runs.py`` row by row, and the tests compare both to the bit.
"""

from __future__ import annotations

import ctypes
import subprocess
import sys
import sysconfig
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

SOURCE = Path(__file__).parent / "kernel" / "marching.c"
LIBRARY = SOURCE.with_suffix(sysconfig.get_config_var("SHLIB_SUFFIX") or ".so")

FLAGS = ("-O3", "-std=c11", "-ffp-contract=off", "-fPIC", "-shared")
"""No fused products: they would round otherwise than NumPy does."""


def build(target: Path = LIBRARY, *, compiler: str = "cc") -> bool:
    """Compile the kernel into ``target``; ``False`` where there is no compiler that can."""
    command = [compiler, *FLAGS, "-o", str(target), str(SOURCE), "-lm"]
    try:
        done = subprocess.run(command, capture_output=True, check=False, timeout=300)
    except OSError:
        return False
    return done.returncode == 0 and target.exists()


@cache
def library() -> ctypes.CDLL | None:
    """The built kernel, or ``None``: then NumPy marches."""
    if not LIBRARY.exists():
        return None
    try:
        return ctypes.CDLL(str(LIBRARY))
    except OSError:
        return None  # built for another machine


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


if __name__ == "__main__":
    sys.exit(0 if build() else 1)
