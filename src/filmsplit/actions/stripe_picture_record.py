"""Widths read from pictures put on record as the stripe of a contact."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from filmsplit.actions.instruments import add
from filmsplit.actions.readings import Recorded, Told, record
from filmsplit.actions.register import Daybook, opened
from filmsplit.actions.stripe_picture import StripeInFile, StripePictures
from filmsplit.messages import Problem, Refusal, label
from filmsplit.records.instruments import Instrument, instrument_named
from filmsplit.stripe_picture.card import Place

PICTURE = "picture"
"""Name and kind of the instrument of such readings."""
ACROSS = (Place.OPERATOR, Place.MIDDLE, Place.GEAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureWidths:
    """Widths from the operator's side, each with its uncertainty (95 %), in mm."""

    widths_mm: tuple[float, ...]
    uncertainties_mm: tuple[float, ...]

    @property
    def words(self) -> str:
        """Each width with its uncertainty."""
        pairs = zip(self.widths_mm, self.uncertainties_mm, strict=True)
        return " / ".join(f"{width:.2f} ± {uncertainty:.2f}" for width, uncertainty in pairs)


def widths_of(pictures: StripePictures) -> PictureWidths:
    """The mean width at the three places; :class:`Refusal` where one lacks, or a card's place is unknown."""
    found = {place: [each for each in pictures.read if each.stripe.place is place] for place in ACROSS}
    problems = list(_problems(pictures, found))
    if problems:
        raise Refusal(problems)
    shapes = [[each.stripe.shape for each in found[place]] for place in ACROSS]
    return PictureWidths(
        widths_mm=tuple(round(float(np.mean([each.width_mm for each in own])), 2) for own in shapes),
        # Two pictures of one place share print, card and light: their errors are not taken as independent.
        uncertainties_mm=tuple(round(max(each.width_uncertainty_mm for each in own), 2) for own in shapes),
    )


def record_widths(widths: PictureWidths, told: Told, *, book: Daybook) -> Recorded:
    """Put the widths on record at the contact of ``told``. Nobody is asked here: the front asks before."""
    instrument_on_record(book)
    remarks = label("stripe_record.remarks", widths=widths.words)
    said = f"{told.remarks}; {remarks}" if told.remarks else remarks
    whole = replace(told, kind="stripe", values=widths.widths_mm, instrument=PICTURE, remarks=said)
    return record([whole], book=book)[0]


def _problems(pictures: StripePictures, found: dict[Place, list[StripeInFile]]) -> Iterator[Problem]:
    lacking = [label(f"card_place.{place.value}") for place in ACROSS if not found[place]]
    if lacking:
        yield Problem("stripe-record-place-lacks", {"places": ", ".join(lacking)})
    for each in pictures.read:
        if each.stripe.place is None:
            yield Problem("stripe-record-place-unknown", {"file": each.file})


def instrument_on_record(book: Daybook) -> None:
    """The instrument is put on record the first time. It has no calibration: each picture says how sure it is."""
    with opened(book) as store, store.read() as connection:
        there = instrument_named(connection, PICTURE)
    if there is None:
        add(Instrument(name=PICTURE, kind=PICTURE, remarks=label("stripe_record.instrument")), book=book)
