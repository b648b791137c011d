"""Every operator of a content stream (ISO 32000-2, annex A), with what the walk does at it."""

from __future__ import annotations

from filmsplit.formats.pdf import walk_colours, walk_objects, walk_paths, walk_state, walk_text
from filmsplit.formats.pdf.walk import Handler

HANDLERS: dict[str, Handler] = {
    **walk_state.HANDLERS,
    **walk_colours.HANDLERS,
    **walk_paths.HANDLERS,
    **walk_text.HANDLERS,
    **walk_objects.HANDLERS,
}
