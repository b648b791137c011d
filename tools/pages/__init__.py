"""The generated pages: for each the function that takes the page as it stands and returns it as it should be."""

from __future__ import annotations

from collections.abc import Callable

from pages.messages import messages_page

PAGES: dict[str, Callable[[str], str]] = {
    "messages.md": messages_page,
}
