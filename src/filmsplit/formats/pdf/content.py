"""Content streams before they are parsed: none longer than any page a person made."""

from __future__ import annotations

from collections.abc import Iterator

import pikepdf
from pikepdf import Array, Stream

from filmsplit.formats.pdf.malformed import UNREADABLE, Malformed
from filmsplit.formats.pdf.unpacked import filters_of, unpacked

MOST_CONTENT_BYTES = 128 * 2**20
"""Of one page or form, unpacked (invented: the plan of a town has some ten)."""
MOST_GROWTH = 1032
"""How many bytes one byte can become at most by its filter (zlib's own figure; others stay below or are counted)."""


def is_too_long(thing: Stream | pikepdf.Page) -> bool:
    """Whether the content unpacks to more than is ever read. It is only unpacked to tell where its packed size leaves
    that open."""
    left = MOST_CONTENT_BYTES
    for stream in _streams(thing):
        try:
            size = len(stream.read_raw_bytes())
            most = size * MOST_GROWTH ** len(filters_of(stream))
            left -= len(unpacked(stream, most=left + 1)) if most > left else size
        except Malformed as error:
            if error.is_too_much:
                return True
            continue  # what cannot be unpacked at all is for the parser to tell
        except UNREADABLE:
            continue
        if left < 0:
            return True
    return False


def _streams(thing: Stream | pikepdf.Page) -> Iterator[Stream]:
    if isinstance(thing, Stream):
        yield thing
        return
    contents = thing.obj.get("/Contents")
    for each in contents if isinstance(contents, Array) else [contents]:
        if isinstance(each, Stream):
            yield each
