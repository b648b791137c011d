"""What a press file was before each change: its earlier texts, bounded, in one file of the shop's folder.

``now`` is the version that stands in the press file; those behind it were undone and can be had again.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from filmsplit.formats.press_file import read_text
from filmsplit.formats.replace_file import replace_file
from filmsplit.messages import Problem, Refusal

KIND = "filmsplit-earlier 1"
MOST_VERSIONS = 60
MOST_CHARACTERS = 8_000_000
MOST_KEYS = 200
FOUND = "found"
"""What is said of a text that was there before the first change here, or was changed elsewhere."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """A text of the file: what made it (``said``, about which part), when, and who where that was known."""

    text: str
    said: str
    about: str = ""
    at: str = ""
    person: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """The versions of a file, the oldest first, and the keys of the forms that made them or stepped through them."""

    versions: tuple[Version, ...] = ()
    now: int = -1
    keys: tuple[str, ...] = ()

    @property
    def text(self) -> str | None:
        """What should stand in the press file; ``None`` where nothing was ever kept."""
        return self.versions[self.now].text if self.versions else None

    @property
    def can_undo(self) -> bool:
        return self.now > 0

    @property
    def can_redo(self) -> bool:
        return 0 <= self.now < len(self.versions) - 1


def earlier_of(kept: Path) -> Earlier:
    """What was kept in the file ``kept``; :class:`Refusal` where it is torn: nobody goes back to half a press."""
    if not kept.exists():
        return Earlier()
    try:
        raw = json.loads(kept.read_text(encoding="utf-8"))
        if raw["filmsplit"] != KIND:
            raise ValueError(KIND)
        versions = tuple(Version(**each) for each in raw["versions"])
        found = Earlier(versions=versions, now=int(raw["now"]), keys=tuple(map(str, raw["keys"])))
        if not 0 <= found.now < len(versions) or not all(isinstance(each.text, str) for each in versions):
            raise ValueError(KIND)
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise Refusal(Problem("press-earlier-torn", {"file": kept.name})) from error
    return found


def with_disk(earlier: Earlier, text: str) -> Earlier:
    """The same, knowing a text that came into the press file some other way."""
    return earlier if earlier.text == text else _after(earlier, Version(text=text, said=FOUND))


def change_to(path: Path, kept: Path, *, earlier: Earlier, version: Version) -> Earlier:
    """Put a version into the press file at ``path``. What it was is on the disk before it is changed."""
    after = _bounded(_after(earlier, version))
    return _put(path, kept, after=_keyed(after, version.key))


def step_to(path: Path, kept: Path, *, earlier: Earlier, by: int, key: str) -> Earlier:
    """Put the version before (``by`` -1) or behind (1) into the press file; :class:`Refusal` where there is none."""
    if not (earlier.can_undo if by < 0 else earlier.can_redo):
        raise Refusal(Problem("press-nothing-to-undo" if by < 0 else "press-nothing-to-redo"))
    return _put(path, kept, after=_keyed(replace(earlier, now=earlier.now + by), key))


def sent_before(path: Path, *, earlier: Earlier, key: str) -> bool:
    """Whether a form with this key was done already; one that was broken off half way is done to its end."""
    if not key or key not in earlier.keys:
        return False
    last = earlier.versions[earlier.now]
    if last.key == key and earlier.now > 0 and read_text(path) == earlier.versions[earlier.now - 1].text:
        replace_file(path, last.text)
    return True


def _after(earlier: Earlier, version: Version) -> Earlier:
    versions = (*earlier.versions[: earlier.now + 1], version)
    return replace(earlier, versions=versions, now=len(versions) - 1)


def _bounded(earlier: Earlier) -> Earlier:
    """The newest versions, as many as there is room for; never fewer than two, so that the last can be undone."""
    room, kept = MOST_CHARACTERS, 0
    for version in reversed(earlier.versions):
        room -= len(version.text)
        if kept >= 2 and (room < 0 or kept >= MOST_VERSIONS):
            break
        kept += 1
    return replace(earlier, versions=earlier.versions[-kept:], now=kept - 1)


def _keyed(earlier: Earlier, key: str) -> Earlier:
    return replace(earlier, keys=(*earlier.keys, key)[-MOST_KEYS:]) if key else earlier


def _put(path: Path, kept: Path, *, after: Earlier) -> Earlier:
    text = after.versions[after.now].text
    said = {"filmsplit": KIND, "now": after.now, "keys": after.keys}
    replace_file(kept, json.dumps(said | {"versions": [asdict(each) for each in after.versions]}, indent=1) + "\n")
    replace_file(path, text)
    return after


def told(earlier: Earlier) -> Iterator[tuple[Version, bool]]:
    """Every change, the newest first, and whether it was undone; a text that was only found is none."""
    for number, version in reversed(list(enumerate(earlier.versions))):
        if number or version.said != FOUND:
            yield version, number > earlier.now
