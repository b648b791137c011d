"""Compiling the marching kernel. Standard library only: the build hook runs this before anything is installed.

A built kernel carries a mark of the source and flags it was made from, so that no other is ever taken for it.
"""

from __future__ import annotations

import hashlib
import os
import shlex
import subprocess
from pathlib import Path

FOLDER = Path(__file__).resolve().parent
SOURCES = ("marching.c", "laws.h", "marching.h")

LIBRARY = "marching.library"
"""Not named as the system names libraries: Python would take such a file for a module of this package."""

FLAGS = ("-O3", "-std=c11", "-ffp-contract=off", "-fPIC", "-shared")
"""No fused products: they would round otherwise than NumPy does."""

LONGEST_S = 300


def mark(folder: Path = FOLDER) -> int:
    """A number that tells the sources in ``folder`` and the flags from any other."""
    digest = hashlib.sha256(" ".join(FLAGS).encode())
    for name in SOURCES:
        digest.update((folder / name).read_text(encoding="utf-8").encode())
    return int.from_bytes(digest.digest()[:8], "big")


def compiler() -> list[str]:
    """The command of the C compiler: ``CC`` as everywhere, or ``cc``."""
    return shlex.split(os.environ.get("CC", "")) or ["cc"]


def build(target: Path, *, folder: Path = FOLDER) -> str | None:
    """Compile the sources in ``folder`` into the file ``target``; why not, where that cannot be done."""
    marked = f"-DKERNEL_MARK=0x{mark(folder):016x}u"
    command = [*compiler(), *FLAGS, marked, "-o", str(target), str(folder / SOURCES[0]), "-lm"]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=LONGEST_S)
    except (OSError, subprocess.TimeoutExpired) as error:
        return str(error)
    if done.returncode != 0:
        return done.stderr.strip() or f"{command[0]}: {done.returncode}"
    return None
