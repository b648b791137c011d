"""Compare pages of PDFs with another program's separations: prints every difference beyond 0.003, with what was told.

Run from the project's folder: ``python tests/campaigns/pdf_second_opinion.py FILE.pdf[:PAGE]...``, or with
``--free FOLDER``, which looks in a folder (and all below it) for the freely licensed files listed in
``tests/formats/pdf/free_pdfs.toml`` by their hashes. Needs Ghostscript. A difference is explained by what our reader
warned of, or by the list; ends with 1 if one is not.
"""

from __future__ import annotations

import hashlib
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from filmsplit.messages import Refusal
from formats.pdf.second_opinion import OTHER, WITHIN, compared

LIST = Path(__file__).resolve().parents[1] / "formats" / "pdf" / "free_pdfs.toml"


@dataclass(frozen=True)
class Asked:
    name: str
    path: Path
    page: int
    because: str = ""


def main() -> int:
    if OTHER is None:
        print("Ghostscript is not installed: nothing to compare with.")
        return 0
    words = sys.argv[1:]
    asked = list(_free(Path(words[1])) if words[:1] == ["--free"] else map(_named, words))
    unexplained = 0
    print("| file | page | inks | largest difference | ink, zone | told |")
    print("|---|---|---|---|---|---|")
    for each in asked:
        unexplained += _compared(each)
    print(f"{len(asked)} pages, {unexplained} with a difference beyond {WITHIN} that is not explained")
    return int(unexplained > 0)


def _compared(asked: Asked) -> bool:
    """Whether there is a difference nobody has explained."""
    try:
        found = compared(asked.path, page=asked.page)
    except Refusal as refusal:
        slugs = " ".join(each.slug for each in refusal.problems)
        print(f"| {asked.name} | {asked.page} | | refused | | {slugs} |", flush=True)
        return not asked.because
    difference, ink, zone = max(found.worst, key=lambda each: abs(each[0]), default=(0.0, "none", 0))
    told = " ".join(each for each in found.told if each != "pdf-ink-without-image") or "-"
    inks = len({**found.ours, **found.other})
    is_far = abs(difference) > WITHIN
    because = asked.because or ("as told" if found.warned else "")
    mark = f" ({because or '!'})" if is_far else ""
    print(
        f"| {asked.name} | {asked.page} | {inks} | {difference:+.4f}{mark} | {ink}, {zone} | {told} |",
        flush=True,
    )
    return is_far and not because


def _named(word: str) -> Asked:
    name, _, page = word.rpartition(":")
    return Asked(Path(name).name, Path(name), int(page)) if name and page.isdigit() else Asked(word, Path(word), 1)


def _free(folder: Path) -> Iterator[Asked]:
    """Those of the list that lie in the folder; what is missing is said."""
    found = {hashlib.sha256(each.read_bytes()).hexdigest(): each for each in folder.rglob("*.pdf") if each.is_file()}
    for each in tomllib.loads(LIST.read_text(encoding="utf-8"))["file"]:
        path = found.get(each["sha256"])
        if path is None:
            print(f"{each['name']}: not there ({each['origin']})", flush=True)
        else:
            yield Asked(each["name"], path, each["page"], each.get("because", ""))


if __name__ == "__main__":
    sys.exit(main())
