"""Stripe widths of a contact from pictures that a tablet took: read in a process of its own, shown, and not kept.

Nothing goes on record here. What somebody says yes to is recorded like any other reading of the round.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

from filmsplit.actions.readings import Recorded
from filmsplit.actions.register import Daybook
from filmsplit.actions.round_reading import StripeTold, put_stripe
from filmsplit.actions.shop import Shop
from filmsplit.actions.stripe_picture import StripeInFile, StripePictures, Unread, end_to_end, heading
from filmsplit.actions.stripe_picture_record import PICTURE, PictureWidths, instrument_on_record, widths_of
from filmsplit.figures.stripe_overlay import OverlaidCard, draw_overlay
from filmsplit.formats.bounded_process import Bounds, Progress, bounded
from filmsplit.formats.photo_reader import read_photo
from filmsplit.formats.replace_file import replacing
from filmsplit.messages import Problem, Refusal, label
from filmsplit.stripe_picture.read import read_stripes

MOST_PICTURES = 3
"""One for each place across; one picture may hold all three cards."""
BOUNDS = Bounds(memory_bytes=2 * 2**30, seconds=120.0, result_bytes=2**26)


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureSeen:
    """The widths, the pictures straightened with the edges drawn over them (SVG), and what could not be read."""

    widths: PictureWidths
    svg: str
    unread: tuple[Problem, ...]


def look_at_pictures(pictures: Sequence[BinaryIO]) -> PictureSeen:
    """Widths of the stripe in up to three pictures. Nothing of them is left behind; :class:`Refusal` where it cannot
    be told what they show, or not all three places are among them.
    """
    if not 0 < len(pictures) <= MOST_PICTURES:
        raise Refusal(Problem("round-picture-count", {"most": MOST_PICTURES}))
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for number, picture in enumerate(pictures, 1):
            paths.append(Path(folder) / f"{number}.picture")
            with replacing(paths[-1]) as kept:
                shutil.copyfileobj(picture, kept)
        return bounded(read_in_process, tuple(paths), file=", ".join(path.name for path in paths), bounds=BOUNDS)


def put_pictured(shop: Shop, number: int, *, told: StripeTold, book: Daybook, key: str) -> Recorded:
    """Put a stripe on record as ``put_stripe`` does, after somebody said yes to the ``widths`` in its remarks."""
    instrument_on_record(book)
    said = label("stripe_record.remarks", widths=told.remarks)
    return put_stripe(shop, number, told=replace(told, instrument=PICTURE, remarks=said), book=book, key=key)


def read_in_process(paths: Sequence[Path], *, told: Progress) -> PictureSeen:
    """What the other process does: no file is written, and what comes back are figures and a drawing."""
    read, unread, drawn = list[StripeInFile](), list[Unread](), list[OverlaidCard]()
    for number, path in enumerate(paths):
        told(number, len(paths))
        try:
            photo = read_photo(path)
            reading = read_stripes(photo)
        except Refusal as refusal:
            unread += [Unread(file=path.name, problem=each) for each in refusal.problems]
            continue
        read += [StripeInFile(file=path.name, stripe=each.stripe) for each in reading.cards]
        unread += [Unread(file=path.name, problem=each) for each in reading.unread]
        drawn += [OverlaidCard(photo, each, heading(path.name, each.stripe)) for each in reading.cards]
    if not read:
        raise Refusal(each.problem for each in unread)
    whole = StripePictures(check_line_mm=None, read=tuple(read), unread=(), end_to_end=end_to_end(read))
    return PictureSeen(
        widths=widths_of(whole), svg=draw_overlay(drawn).svg, unread=tuple(each.problem for each in unread)
    )
