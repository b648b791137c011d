"""The message catalogue and the code agree, and the manual has a heading for every message."""

from __future__ import annotations

from pathlib import Path

from filmsplit.messages.catalogue import messages

ROOT = Path(__file__).resolve().parents[2]


def test_every_message_has_a_heading_in_the_manual() -> None:
    headings = {
        line.removeprefix("### ") for line in (ROOT / "docs/messages.md").read_text().splitlines() if line[:4] == "### "
    }
    assert headings == set(messages("en"))
