"""Work kept in the shop's folder: put there from a page, found by its code, taken away again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import BinaryIO

from filmsplit.actions.shop import Shop
from filmsplit.actions.work import WorkAsked
from filmsplit.formats.work_look import look_at
from filmsplit.formats.work_store import KeptFile, drop_file, free_bytes, keep_file, kept_file, kept_files
from filmsplit.messages import Problem, Refusal

FOLDER = "works"
MOST_OF_A_JOB = 16
"""Files of one job: more than any press here has inks."""


def keep_work(shop: Shop, file: BinaryIO, *, name: str) -> KeptFile:
    """Keep a file somebody brought, once, looked at in a process of its own. :class:`Refusal` and nothing is kept."""
    return keep_file(shop.folder / FOLDER, file, name=name, look=look_at)


def kept_works(shop: Shop) -> tuple[KeptFile, ...]:
    """Every file that is kept."""
    return kept_files(shop.folder / FOLDER)


def kept_work(shop: Shop, code: str) -> KeptFile:
    """The file of this code. The code is looked up, never made into a path; :class:`Refusal` if unknown."""
    found = kept_file(shop.folder / FOLDER, code)
    if found is None:
        raise Refusal(Problem("work-not-kept", {"code": code[:40]}))
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What the kept files take, and what is left on their disk."""

    files: int
    taken_bytes: int
    free_bytes: int


def room_of(shop: Shop) -> Room:
    """The room that files of work take here."""
    kept = kept_works(shop)
    taken = sum(each.size_bytes for each in kept)
    return Room(files=len(kept), taken_bytes=taken, free_bytes=free_bytes(shop.folder / FOLDER))


def drop_work(shop: Shop, code: str) -> None:
    """Take a file away for good; one that is gone already is gone."""
    found = kept_file(shop.folder / FOLDER, code)
    if found is not None:
        drop_file(found)


def work_of(shop: Shop, codes: Sequence[str], told: WorkAsked) -> WorkAsked:
    """The kept files as work, with all else that was ``told``. :class:`Refusal` if one is unknown."""
    if len(codes) > MOST_OF_A_JOB:
        raise Refusal(Problem("work-too-many-files", {"most": MOST_OF_A_JOB}))
    kept = [kept_work(shop, code) for code in dict.fromkeys(codes)]
    return replace(
        told, what=tuple(str(each.path) for each in kept), names=tuple(each.name for each in kept), only_typed=False
    )
