"""The shop's folder: the press files of its presses and its records, all in one place that can be copied."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from filmsplit.formats.press_file import load
from filmsplit.formats.replace_file import write_file
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Press

PRESS_FILES = "*.yaml"
RECORDS_FILE = "filmsplit.records"


@dataclass(frozen=True, slots=True)
class Shop:
    """A folder with press files (``presses/NAME.yaml``) and the file of the shop's records."""

    folder: Path

    @property
    def presses_folder(self) -> Path:
        return self.folder / "presses"

    @property
    def records(self) -> Path:
        return self.folder / RECORDS_FILE


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPress:
    """A press file of the shop. ``press`` is ``None`` where the file cannot be used; ``problems`` then say why."""

    name: str
    path: Path
    press: Press | None
    problems: tuple[Problem, ...]


def kept_presses(shop: Shop) -> tuple[KeptPress, ...]:
    """Every press file of the shop by name. One that cannot be used does not hide the others."""
    return tuple(_kept(path) for path in sorted(shop.presses_folder.glob(PRESS_FILES)))


def kept_press(shop: Shop, name: str) -> KeptPress:
    """The press file called ``name``. The name is looked up, never made into a path; :class:`Refusal` if unknown."""
    found = next((path for path in shop.presses_folder.glob(PRESS_FILES) if path.stem == name), None)
    if found is None:
        known = ", ".join(sorted(path.stem for path in shop.presses_folder.glob(PRESS_FILES)))
        raise Refusal(Problem("shop-press-unknown", {"name": name, "known": known or "-"}))
    return _kept(found)


def press_file_of(shop: Shop, id: str) -> str:
    """The file of the press whose id is on record; :class:`Refusal` where the shop has none of that id."""
    kept = kept_presses(shop)
    found = next((each for each in kept if each.press is not None and each.press.id == id), None)
    if found is None:
        known = ", ".join(each.name for each in kept)
        raise Refusal(Problem("shop-press-unknown", {"name": id, "known": known or "-"}))
    return str(found.path)


def _kept(path: Path) -> KeptPress:
    try:
        loaded = load(path)
    except Refusal as refusal:
        return KeptPress(name=path.stem, path=path, press=None, problems=refusal.problems)
    return KeptPress(name=path.stem, path=path, press=loaded.press, problems=loaded.notices)


def bring_demo_press(shop: Shop, name: str) -> KeptPress:
    """Copy an invented press of the demo workshop into the shop. A file in the way stays; :class:`Refusal`."""
    if name not in demo_presses():
        raise Refusal(Problem("press-not-found", {"asked": name, "known": ", ".join(demo_presses()), "near": ""}))
    target = shop.presses_folder / f"{name}.yaml"
    write_file(target, demo_path(name).read_bytes(), over=False)
    return _kept(target)


def changed_at(shop: Shop, *files: Path) -> tuple[int, ...]:
    """When the records and these files were written last, in nanoseconds: equal where nothing was written between.

    What was written to the records may still stand in the file beside them; that is there, empty, for whoever reads.
    """
    beside = shop.records.with_name(f"{shop.records.name}-wal")
    return (*map(_written, (*files, shop.records)), _written(beside) if _size(beside) else 0)


def _written(path: Path) -> int:
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError:
        return 0
