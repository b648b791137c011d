"""One row per setting of the program: its name, what it may be, what it is unless told otherwise, where to set it."""

from __future__ import annotations

from dataclasses import dataclass

from filmsplit.messages.catalogue import DEFAULT_LANGUAGE, LANGUAGE_VARIABLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A setting and the label that explains it. ``allowed`` and ``default`` are words as the person writes them."""

    name: str
    where: str
    allowed: str
    default: str
    help_label: str


ENVIRONMENT = "environment variable"
TRACEBACK_VARIABLE = "FILMSPLIT_TRACEBACK"
RECORDS_VARIABLE = "FILMSPLIT_RECORDS"
RECORDS_FILE = "filmsplit.records"

SETTINGS = (
    Setting(
        name=LANGUAGE_VARIABLE,
        where=ENVIRONMENT,
        allowed="a language the message catalogue has (en)",
        default=DEFAULT_LANGUAGE,
        help_label="setting.language",
    ),
    Setting(
        name=TRACEBACK_VARIABLE,
        where=ENVIRONMENT,
        allowed="0 or 1",
        default="0",
        help_label="setting.traceback",
    ),
    Setting(
        name=RECORDS_VARIABLE,
        where=ENVIRONMENT,
        allowed="a file",
        default=f"{RECORDS_FILE} in the user's data folder",
        help_label="setting.records",
    ),
)
"""Every setting. A test holds the code and the page of settings to this table."""
