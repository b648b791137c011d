"""Work that came in from a page, in a folder: each file once, under a code made from what is in it.

Beside ``CODE.tif`` stands ``CODE.json`` with the name somebody gave the file, which is text and never a path, and what
was seen in it. A file without that was broken off while it came in, and is nobody's.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import shutil
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any, BinaryIO

from filmsplit.formats.pdf.door import WITHIN
from filmsplit.formats.replace_file import replace_file, replacing
from filmsplit.formats.work_look import ENDINGS, InkSeen, Seen, ending_of
from filmsplit.messages import Problem, Refusal

CODE_DIGITS = 16
LONGEST_NAME = 120
MOST_FILES = 200
LEAST_FREE_BYTES = 2**30
"""Left free on the disk: the records need it."""
TOLD = "json"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptFile:
    """A file of work: its code, what somebody called it, where it lies, and what was seen in it."""

    code: str
    name: str
    path: Path
    size_bytes: int
    seen: Seen


def plain_name(text: str) -> str:
    """The name of a file as text to show: without folders, without what cannot be read."""
    last = text.replace("\\", "/").rpartition("/")[2]
    shown = " ".join("".join(each if each.isprintable() else " " for each in last).split())
    return shown[-LONGEST_NAME:] or "-"


def keep_file(folder: Path, file: BinaryIO, *, name: str, look: Callable[[Path], Seen]) -> KeptFile:
    """Put a file into the folder, whole and looked at, or not at all. What is there already stays as it is.

    Raises ``Refusal`` where it is no work, or there is no room.
    """
    called = plain_name(name)
    size, begin = _size(file), _begin(file)
    ending = ending_of(begin)
    if not begin or ending is None:
        raise Refusal(Problem("plate-file-unknown-kind" if begin else "plate-file-empty", {"file": called}))
    code = _code(file)
    known = kept_file(folder, code)
    if known is not None:
        return known
    _room(folder, size, name=called)
    path = folder / f"{code}.{ending}"
    with replacing(path) as target:
        shutil.copyfileobj(file, target)
    try:
        seen = look(path)
    except Refusal as refusal:
        path.unlink(missing_ok=True)
        raise Refusal(named(refusal.problems, {str(path): called, path.name: called})) from refusal
    told = {"name": called, "bytes": size, **asdict(seen)}
    replace_file(folder / f"{code}.{TOLD}", json.dumps(told, indent=1, ensure_ascii=True) + "\n")
    return KeptFile(code=code, name=called, path=path, size_bytes=size, seen=seen)


def kept_files(folder: Path) -> tuple[KeptFile, ...]:
    """Every whole file of the folder, by code."""
    found = (_kept(path) for path in sorted(folder.glob(f"*.{TOLD}")))
    return tuple(each for each in found if each is not None)


def kept_file(folder: Path, code: str) -> KeptFile | None:
    """The file with this code, looked up among those there are; ``None`` where there is none."""
    found = next((path for path in folder.glob(f"*.{TOLD}") if path.stem == code), None)
    return None if found is None else _kept(found)


def free_bytes(folder: Path) -> int:
    """What is free on the disk of the folder, which need not be there yet."""
    return shutil.disk_usage(folder if folder.exists() else folder.parent).free


def drop_file(kept: KeptFile) -> None:
    """Take a file out of the folder for good."""
    try:
        kept.path.with_suffix(f".{TOLD}").unlink(missing_ok=True)
        kept.path.unlink(missing_ok=True)
    except OSError as error:
        raise Refusal(Problem("file-not-written", {"file": kept.name, "reason": error.strerror or ""})) from error


def named(problems: tuple[Problem, ...], names: Mapping[str, str]) -> tuple[Problem, ...]:
    """The same problems, speaking of files by the names somebody gave them."""
    return tuple(
        replace(each, values={key: _said(value, names) for key, value in each.values.items()}) for each in problems
    )


def _said(value: object, names: Mapping[str, str]) -> object:
    if not isinstance(value, str):
        return value
    for path, name in names.items():
        value = value.replace(path, name)
    return value


def _kept(told: Path) -> KeptFile | None:
    """``None`` where what is told cannot be read, or the file is gone."""
    path = next((each for ending in ENDINGS if (each := told.with_suffix(f".{ending}")).is_file()), None)
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError, AttributeError):
        data = json.loads(told.read_text(encoding="utf-8"))
        if path is not None:
            name, size = plain_name(str(data["name"])), int(data["bytes"])
            return KeptFile(code=told.stem, name=name, path=path, size_bytes=size, seen=_seen(data))
    return None


def _seen(data: Mapping[str, Any]) -> Seen:
    size = data["size_mm"]
    return Seen(
        pages=int(data["pages"]),
        inks=tuple(InkSeen(name=str(each["name"]), share=float(each["share"])) for each in data["inks"]),
        size_mm=None if size is None else (float(size[0]), float(size[1])),
        needs_dpi=bool(data["needs_dpi"]),
    )


def _size(file: BinaryIO) -> int:
    return file.seek(0, 2)


def _begin(file: BinaryIO) -> bytes:
    file.seek(0)
    return file.read(WITHIN)


def _code(file: BinaryIO) -> str:
    """Leaves the file at its beginning."""
    file.seek(0)
    digest = hashlib.sha256()
    while piece := file.read(2**20):
        digest.update(piece)
    file.seek(0)
    return digest.hexdigest()[:CODE_DIGITS]


def _room(folder: Path, size: int, *, name: str) -> None:
    if sum(1 for _ in folder.glob(f"*.{TOLD}")) >= MOST_FILES:
        raise Refusal(Problem("work-too-many-kept", {"file": name, "most": MOST_FILES}))
    free = free_bytes(folder)
    if free - size < LEAST_FREE_BYTES:
        raise Refusal(Problem("work-no-room", {"file": name, "free_mb": free // 2**20}))
