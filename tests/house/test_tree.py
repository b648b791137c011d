"""What must not be in the tree: places of one machine, addresses of package hosts, links that lead nowhere."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from house.source import ROOT

# Put together from parts, so that this file does not hold what it looks for.
UNWANTED = {
    # In small letters only: the entry of that name in a PDF begins with a capital.
    "a machine's folder": "(?-i:/" + r"(wo" + r"rk|tm" + r"p|ro" + r"ot|ho" + r"me/\w+)(/|\b))",
    "a neighbour's folder": r"\.\./sha" + r"red",
    "a package host": "python" + "hosted|" + r"pypi\.(?!org\b)\w+|simple/" + "index",
    "a ticket": r"\bissue" + r"s? #?\d",
    "a writing aid": r"\bco-author"
    + r"ed-by|\bL"
    + r"LMs?\b|language mo"
    + r"del|\bchat"
    + r"bot|\bAI ass"
    + r"istant",
}
HAS_HISTORY = (ROOT / ".git").exists()


def _git(*arguments: str) -> str:
    done = subprocess.run(["git", *arguments], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode in (0, 1), done.stderr
    return done.stdout


@pytest.mark.skipif(not HAS_HISTORY, reason="not a clone")
@pytest.mark.parametrize("what", UNWANTED)
def test_the_tree_holds_nothing_of_the_place_it_was_made_at(what: str) -> None:
    found = _git("grep", "-I", "-n", "-i", "-P", UNWANTED[what], "--", ".", ":!requirements/*.txt")
    assert not found


@pytest.mark.skipif(not HAS_HISTORY, reason="not a clone")
def test_the_locks_hold_versions_and_hashes_only() -> None:
    addressed = _git("grep", "-n", "-E", "://|--index|--extra-index|--find-links", "--", "requirements/")
    assert not addressed


@pytest.mark.skipif(not HAS_HISTORY, reason="not a clone")
def test_the_history_speaks_of_the_project_only() -> None:
    log = _git("log", "--format=%B")
    found = {what: match[0] for what, pattern in UNWANTED.items() if (match := re.search(pattern, log, re.IGNORECASE))}
    assert not found


PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
_LINK = re.compile(r"(?<!`)\[[^\]]*\]\(([^)\s]+)\)")
_HEADING = re.compile(r"^#+ +(.+?)\s*$", re.MULTILINE)
_CODE = re.compile(r"^```.*?^```", re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_links_lead_somewhere(page: Path) -> None:
    text = _CODE.sub("", page.read_text(encoding="utf-8"))
    broken = []
    for target in _LINK.findall(text):
        if "://" in target or target.startswith("mailto:"):
            continue
        name, _, anchor = target.partition("#")
        aimed = (page.parent / name).resolve() if name else page
        if not aimed.exists() or (anchor and anchor not in _anchors(aimed)):
            broken.append(target)
    assert not broken


def _anchors(page: Path) -> set[str]:
    """Headings as common Markdown renderers turn them into anchors."""
    headings = _HEADING.findall(_CODE.sub("", page.read_text(encoding="utf-8")))
    plain = (re.sub(r"[*`]|\[([^\]]*)\]\([^)]*\)", r"\1", heading).lower() for heading in headings)
    return {re.sub(r"[^\w -]", "", heading).replace(" ", "-") for heading in plain}
