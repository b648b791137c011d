"""The generated pages: for each the function that takes the page as it stands and returns it as it should be."""

from __future__ import annotations

from collections.abc import Callable

from filmsplit.formats.press_reference import reference_page
from pages.answers import (
    film_page,
    film_schema,
    foresee_page,
    foresee_schema,
    run_down_page,
    run_down_schema,
    setup_page,
    setup_schema,
)
from pages.commands import commands_page
from pages.messages import messages_page
from pages.packages import index_page
from pages.records import records_page
from pages.settings import settings_page
from pages.words import glossary_page, limits_page

PAGES: dict[str, Callable[[str], str]] = {
    "commands.md": commands_page,
    "film-1.schema.json": film_schema,
    "foresee.md": foresee_page,
    "foresee-1.schema.json": foresee_schema,
    "setup.md": setup_page,
    "setup-1.schema.json": setup_schema,
    "film.md": film_page,
    "glossary.md": glossary_page,
    "index.md": index_page,
    "limits.md": limits_page,
    "messages.md": messages_page,
    "press-file.md": reference_page,
    "records.md": records_page,
    "run-down.md": run_down_page,
    "run-down-1.schema.json": run_down_schema,
    "settings.md": settings_page,
}
