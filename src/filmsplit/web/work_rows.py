"""Kept files as the pages tell them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePath
from urllib.parse import urlencode

from filmsplit.actions.kept_jobs import kept_jobs
from filmsplit.actions.kept_work import kept_works
from filmsplit.actions.shop import Shop
from filmsplit.formats.kept_jobs_file import KeptJob
from filmsplit.formats.work_store import KeptFile
from filmsplit.messages import label
from filmsplit.web.job_work_fields import WORK, codes_in

MOST_PAGES_LISTED = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRow:
    """A kept file: what it tells, and the address of the form without it."""

    code: str
    name: str
    tells: str
    without: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFiles:
    """The files of a job, and which fields they call for."""

    rows: tuple[FileRow, ...] = ()
    pages: int = 1
    needs_dpi: bool = False
    some_pdf: bool = False

    @property
    def some(self) -> bool:
        return bool(self.rows)

    @property
    def title(self) -> str:
        """What to call a job of these files."""
        return PurePath(self.rows[0].name).stem if self.rows else ""

    @property
    def listed_pages(self) -> tuple[int, ...]:
        """Numbers to choose from; none where there is nothing to choose, or too much to list."""
        return tuple(range(1, self.pages + 1)) if 1 < self.pages <= MOST_PAGES_LISTED else ()


def files_of(shop: Shop, sent: Mapping[str, str]) -> JobFiles:
    """The files that are told and kept; a code nobody knows is passed over here and refused where the job is set."""
    codes = codes_in(sent)
    known = {each.code: each for each in kept_works(shop)} if codes else {}
    kept = [known[code] for code in codes if code in known]
    return JobFiles(
        rows=tuple(_row(each, sent, codes) for each in kept),
        pages=max((each.seen.pages for each in kept), default=1),
        needs_dpi=any(each.seen.needs_dpi for each in kept),
        some_pdf=any(each.path.suffix == ".pdf" for each in kept),
    )


def form_address(sent: Mapping[str, str], codes: Sequence[str]) -> str:
    """The form of a job with these files and all else that was filled in."""
    told = [(name, text) for name, text in sent.items() if text and name != WORK]
    query = urlencode([*told, *((WORK, code) for code in codes)])
    return f"/jobs?{query}" if query else "/jobs"


def jobs_with(shop: Shop, code: str) -> tuple[KeptJob, ...]:
    """The kept jobs that need this file."""
    return tuple(each for each in kept_jobs(shop) if code in codes_in(each.told))


def size_words(size_bytes: int) -> str:
    """How much room something takes, to three figures."""
    for name, unit in (("gb", 1e9), ("mb", 1e6), ("kb", 1e3)):
        if size_bytes >= unit:
            value = size_bytes / unit
            return label(f"web_take.{name}", size=f"{value:.{0 if value >= 100 else 1}f}")
    return label("web_take.bytes", count=size_bytes)


def tells(kept: KeptFile) -> str:
    """What was seen in a file, in a line."""
    return " · ".join(_told(kept))


def _told(kept: KeptFile) -> Iterator[str]:
    seen = kept.seen
    if seen.pages > 1:
        yield label("web_works.pages", count=seen.pages)
    for ink in seen.inks:
        name = ink.name or label("web_works.nameless")
        yield label("web_works.ink_seen", ink=name, share=f"{100 * ink.share:.1f}")
    if seen.size_mm is not None:
        yield label("web_works.size", long=f"{seen.size_mm[0]:.0f}", wide=f"{seen.size_mm[1]:.0f}")
    if seen.needs_dpi:
        yield label("web_works.needs_dpi")


def _row(kept: KeptFile, sent: Mapping[str, str], codes: Sequence[str]) -> FileRow:
    left = [code for code in codes if code != kept.code]
    return FileRow(code=kept.code, name=kept.name, tells=tells(kept), without=form_address(sent, left))
