"""Write the generated pages of the manual, or with --check say which of them are out of date."""

from __future__ import annotations

import sys
from pathlib import Path

from pages import PAGES

ROOT = Path(__file__).resolve().parent.parent


def main(arguments: list[str]) -> int:
    """The exit code: 1 where a page is out of date and was only to be checked."""
    check = "--check" in arguments
    stale = []
    for name, page in PAGES.items():
        path = ROOT / "docs" / name
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        after = page(before)
        if after != before:
            stale.append(f"docs/{name}")
            if not check:
                path.write_text(after, encoding="utf-8")
    if stale:
        print(("Out of date: " if check else "Written: ") + ", ".join(stale))
        if check:
            print("Write them again with: python3 dev.py docs")
    else:
        print(f"All {len(PAGES)} generated pages are up to date.")
    return int(check and bool(stale))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
