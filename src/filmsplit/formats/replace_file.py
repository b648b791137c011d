"""Put a new text in the place of a file, whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from filmsplit.messages import Problem, Refusal


def replace_file(path: Path, text: str) -> None:
    """Write beside the file, make sure it is on the disk, then rename: nobody ever sees half a file."""
    write_file(path, text.encode("utf-8"), over=True)


def create_file(path: Path, text: str) -> None:
    """Write a file that must not exist yet."""
    write_file(path, text.encode("utf-8"), over=False)


def write_file(path: Path, data: bytes, *, over: bool) -> None:
    """Write a file of any kind, whole or not at all; one that is there already stays unless ``over``."""
    if path.exists() and not over:
        raise Refusal(Problem("file-in-the-way", {"file": str(path)}))
    with replacing(path) as file:
        file.write(data)


@contextlib.contextmanager
def replacing(path: Path) -> Iterator[BinaryIO]:
    """A file to write to that takes the place of ``path`` at the end, or leaves no trace if anything goes wrong."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with _replacement(path.resolve()) as file:  # a link stays a link
            yield file
    except OSError as error:
        values = {"file": str(path), "reason": error.strerror or ""}
        raise Refusal(Problem("file-not-written", values)) from error


@contextlib.contextmanager
def _replacement(target: Path) -> Iterator[BinaryIO]:
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, target.stat().st_mode & 0o7777 if target.exists() else 0o666 & ~_mask())
        os.replace(name, target)
    finally:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(name)  # still there only if something went wrong


def _mask() -> int:
    """The permissions that new files go without. It can only be read by setting it."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
