"""The page of settings, written from their table."""

from __future__ import annotations

from filmsplit.messages import label
from filmsplit.messages.settings import SETTINGS, Setting

_INTRO = """\
# Settings

What can be set once for every run. Everything else is an option of a command ([Commands](commands.md)) or stands in the
press file ([The press file](press-file.md)).

This page is written from the table of settings by `python3 dev.py docs`.
"""


def settings_page(_: str) -> str:
    """A heading per setting."""
    return "\n".join([_INTRO, *(_entry(setting) for setting in SETTINGS)])


def _entry(setting: Setting) -> str:
    return (
        f"## {setting.name}\n\n{label(setting.help_label)}\n\n"
        f"- Where: {setting.where}\n- May be: {setting.allowed}\n- Unless told otherwise: {setting.default}\n"
    )
