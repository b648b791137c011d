"""A stripe's width from pictures with a scale card in them, and the card to print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from filmsplit.actions.draw import picture_problems, write_picture
from filmsplit.figures.stripe_overlay import OverlaidCard, draw_overlay
from filmsplit.formats.photo_reader import read_photo
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal, label
from filmsplit.reports.scale_card import scale_card_pdf
from filmsplit.reports.typeset import Paper
from filmsplit.stripe_picture.card import Place
from filmsplit.stripe_picture.read import read_stripes
from filmsplit.stripe_picture.result import StripeAtCard

KIND = "stripe-picture 1"


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeInFile:
    """The stripe beside one card of one picture."""

    file: str
    stripe: StripeAtCard


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """A card, or a whole picture, that could not be read."""

    file: str
    problem: Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class EndToEnd:
    """How much wider the stripe is at the gear side than at the operator's side; uncertainty 95 %."""

    wider_at_gear_mm: float
    uncertainty_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StripePictures:
    """What the pictures say together. ``end_to_end`` needs one card at each end."""

    check_line_mm: float | None
    read: tuple[StripeInFile, ...]
    unread: tuple[Unread, ...]
    end_to_end: EndToEnd | None


def read_pictures(
    files: Sequence[Path], *, check_line_mm: float | None = None, overlay: Path | None = None, over: bool = False
) -> StripePictures:
    """Read every picture; :class:`Refusal` where none could be read. Pictures are read and never kept.

    ``overlay`` is an SVG or PNG to write, with the edges drawn over the pictures.
    """
    problems = tuple(picture_problems(overlay, over=over)) if overlay else ()
    if problems or not files:
        raise Refusal(problems or Problem("stripe-picture-nothing-asked"))
    read, unread, drawn = list[StripeInFile](), list[Unread](), list[OverlaidCard]()
    for file in files:
        try:
            photo = read_photo(file)
            reading = read_stripes(photo, check_line_mm=check_line_mm)
        except Refusal as refusal:
            unread += [Unread(file=file.name, problem=each) for each in refusal.problems]
            continue
        read += [StripeInFile(file=file.name, stripe=each.stripe) for each in reading.cards]
        unread += [Unread(file=file.name, problem=each) for each in reading.unread]
        if overlay:
            drawn += [OverlaidCard(photo, each, heading(file.name, each.stripe)) for each in reading.cards]
    if not read:
        raise Refusal(each.problem for each in unread)
    if overlay:
        write_picture(draw_overlay(drawn), overlay, over=over)
    return StripePictures(
        check_line_mm=check_line_mm, read=tuple(read), unread=tuple(unread), end_to_end=end_to_end(read)
    )


def end_to_end(read: Sequence[StripeInFile]) -> EndToEnd | None:
    """The difference between the ends, where each end was read."""
    at = {place: [each.stripe.shape for each in read if each.stripe.place is place] for place in Place}
    if not at[Place.OPERATOR] or not at[Place.GEAR]:
        return None
    operator, gear = (float(np.mean([shape.width_mm for shape in at[end]])) for end in (Place.OPERATOR, Place.GEAR))
    errors = [shape.width_uncertainty_mm for end in (Place.OPERATOR, Place.GEAR) for shape in at[end]]
    return EndToEnd(wider_at_gear_mm=gear - operator, uncertainty_mm=float(np.hypot(max(errors), max(errors))))


def heading(file: str, stripe: StripeAtCard) -> str:
    """Place, mean width and file of one reading."""
    width = f"{stripe.shape.width_mm:.2f} ± {stripe.shape.width_uncertainty_mm:.2f}"
    return label("stripe_overlay.heading", place=place_words(stripe.place), width=width, file=file)


def place_words(place: Place | None) -> str:
    """A card's place in words."""
    return label("stripe_overlay.no_place") if place is None else label(f"card_place.{place.value}")


def write_card(target: Path, *, paper: str, over: bool = False) -> None:
    """Write the sheet of scale cards as PDF."""
    write_file(target, scale_card_pdf(paper=Paper(paper)), over=over)
