"""Jobs kept to be opened again: their plans on record, and what was told of each beside them."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from pathlib import Path

from filmsplit.actions.jobs import today
from filmsplit.actions.plans import record_once, still_planned
from filmsplit.actions.setup import Set
from filmsplit.actions.shop import Shop
from filmsplit.formats.kept_jobs_file import KeptJob, read_kept_jobs, write_kept_jobs
from filmsplit.messages import Problem, Refusal

FILE = "kept-jobs.json"
_WRITING = threading.Lock()


def kept_jobs(shop: Shop) -> tuple[KeptJob, ...]:
    """The jobs that are kept, the newest first. :class:`Refusal` where their file cannot be read."""
    return tuple(reversed(read_kept_jobs(_file(shop))))


def keep_job(shop: Shop, found: Set, *, told: Mapping[str, str], key: str) -> KeptJob:
    """Put the plans of a job that is set on record, once however often it is sent, and remember what was told of it.

    The plans come first: a job whose place in the file was lost is still found by the code on its paper.
    """
    codes = record_once(found, shop.records, key=key)
    job = KeptJob(
        title=found.answer.title,
        press=found.press.name or found.press.id,
        day=today().isoformat(),
        codes=codes,
        told=dict(told),
    )
    with _WRITING:
        known = read_kept_jobs(_file(shop))
        if all(each.codes != codes for each in known):
            write_kept_jobs(_file(shop), (*known, job))
    return job


def kept_job(shop: Shop, code: str) -> KeptJob:
    """The kept job one of whose plans has this code, which is looked up; :class:`Refusal` if unknown."""
    found = next((each for each in kept_jobs(shop) if code in each.codes), None)
    if found is None:
        raise Refusal(Problem("job-not-kept", {"code": code[:40]}))
    return found


def drop_job(shop: Shop, code: str) -> None:
    """Take the job with this code off the list; one that is off already is off. Its plans stay on record."""
    with _WRITING:
        known = read_kept_jobs(_file(shop))
        left = [each for each in known if code not in each.codes]
        if len(left) < len(known):
            write_kept_jobs(_file(shop), left)


def codes_now(shop: Shop, found: Set, *, told: Mapping[str, str]) -> tuple[str, ...]:
    """The codes under which this job is kept with the very settings it has now; none where it is not."""
    same = (each.codes for each in kept_jobs(shop) if dict(each.told) == dict(told))
    return next((codes for codes in same if still_planned(found, codes, shop.records)), ())


def _file(shop: Shop) -> Path:
    return shop.folder / FILE
