"""A change of plate, blanket or packing: height, squeeze, print length, and the new stripe of every form roller."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from filmsplit.contact.described import described_pair
from filmsplit.contact.nip import Known, Squeeze, squeeze
from filmsplit.contact.rollers import Pair, at_fixed_centres
from filmsplit.messages import Problem, Refusal
from filmsplit.press import Contact, Cylinder, Press, Unit

PLATE = "plate"
MOST_LAYER_MM = 10.0
"""No plate, blanket or packing is thicker: the limit of the press file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingLimits:
    """What is still within the band. Common practice; the press manual's figures come first.

    ``stripe_mm`` to either side of the target. ``squeeze_mm`` between plate and blanket, lowest and highest.
    """

    stripe_mm: float = 0.5
    squeeze_mm: tuple[float, float] = (0.05, 0.20)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dressing:
    """What the two cylinders wear, thicknesses in mm."""

    plate_mm: float
    plate_packing_mm: float
    blanket_mm: float
    blanket_packing_mm: float

    @classmethod
    def of(cls, unit: Unit) -> Dressing:
        """As the press is described."""
        plate, blanket = unit.cylinders.plate, unit.cylinders.blanket
        return cls(
            plate_mm=plate.cover_mm,
            plate_packing_mm=plate.packing_mm,
            blanket_mm=blanket.cover_mm,
            blanket_packing_mm=blanket.packing_mm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Dressed:
    """Both cylinders so dressed. Heights are over the bearers, ``None`` without bearers; so is the squeeze then."""

    dressing: Dressing
    plate_diameter_mm: float
    blanket_diameter_mm: float
    plate_height_mm: float | None
    blanket_height_mm: float | None

    @property
    def squeeze_mm(self) -> float | None:
        """By how much plate and blanket overlap where bearers roll on bearers."""
        if self.plate_height_mm is None or self.blanket_height_mm is None:
            return None
        return self.plate_height_mm + self.blanket_height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class FormAfter:
    """A form roller before and after. ``after`` is ``None`` where it no longer touches the plate.

    ``read`` tells whether the stripe before was read or is the target. ``back_mm`` is the move of the roller away from
    the plate (towards it where negative) that brings the stripe before back.
    """

    contact: str
    read: bool
    before: Squeeze[float]
    after: Squeeze[float] | None
    target_mm: float
    within: bool
    back_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingAnswer:
    """What the change does. ``refusals`` say why it should not be made as it is; ``left_out`` which forms are unsolved.

    ``print_longer`` is a part of the length: positive where the same plate prints longer.
    """

    before: Dressed
    after: Dressed
    plate_gain_mm: float
    blanket_gain_mm: float
    print_longer: float
    sheet_length_mm: float
    forms: tuple[FormAfter, ...]
    left_out: tuple[Problem, ...]
    refusals: tuple[Problem, ...]
    notes: tuple[Problem, ...]

    @property
    def squeeze_gain_mm(self) -> float:
        """Between plate and blanket, axes left alone."""
        return self.plate_gain_mm + self.blanket_gain_mm

    @property
    def allowed(self) -> bool:
        return not self.refusals


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingChange:
    """A unit of a press, what its cylinders are to wear, and stripes that were read: by form roller, in mm."""

    press: Press
    unit: Unit
    dressing: Dressing
    stripes_mm: Mapping[str, float]


def answer_packing(change: PackingChange, *, limits: PackingLimits | None = None) -> PackingAnswer:
    """Everything the change does. Refuses impossible thicknesses, and stripes of rollers that meet no plate."""
    limits = limits or PackingLimits()
    before, after = _dressed(change.unit, Dressing.of(change.unit)), _dressed(change.unit, change.dressing)
    gain = 0.5 * (after.plate_diameter_mm - before.plate_diameter_mm)
    _check_stripes(change)
    forms: list[FormAfter] = []
    left_out: list[Problem] = []
    notes: list[Problem] = []
    for contact in _forms(change.unit):
        try:
            described = described_pair(change.press, change.unit, contact)
        except Refusal as refusal:
            reason = " ".join(problem.what for problem in refusal.problems)
            left_out.append(Problem("form-not-worked-out", {"contact": contact.id, "reason": reason}))
            continue
        notes += described.notes
        forms.append(_form_after(change, contact, described.pair, gain=gain, tolerance_mm=limits.stripe_mm))
    return PackingAnswer(
        before=before,
        after=after,
        plate_gain_mm=gain,
        blanket_gain_mm=0.5 * (after.blanket_diameter_mm - before.blanket_diameter_mm),
        print_longer=_neutral_radius_mm(before) / _neutral_radius_mm(after) - 1.0,
        sheet_length_mm=change.press.sheet_length_mm,
        forms=tuple(forms),
        left_out=tuple(left_out),
        refusals=tuple(_refusals(forms, limits)),
        notes=(*notes, *_squeeze_notes(after, limits)),
    )


def _dressed(unit: Unit, dressing: Dressing) -> Dressed:
    for name in Dressing.__dataclass_fields__:
        size = getattr(dressing, name)
        if not 0.0 <= size <= MOST_LAYER_MM:
            raise Refusal(Problem("packing-not-a-thickness", {"what": name, "value": size, "most": MOST_LAYER_MM}))
    plate = _wearing(unit.cylinders.plate, dressing.plate_mm, dressing.plate_packing_mm)
    blanket = _wearing(unit.cylinders.blanket, dressing.blanket_mm, dressing.blanket_packing_mm)
    return Dressed(
        dressing=dressing,
        plate_diameter_mm=plate.diameter_mm,
        blanket_diameter_mm=blanket.diameter_mm,
        plate_height_mm=_height_mm(plate),
        blanket_height_mm=_height_mm(blanket),
    )


def _wearing(cylinder: Cylinder, cover_mm: float, packing_mm: float) -> Cylinder:
    return replace(cylinder, cover_mm=cover_mm, packing_mm=packing_mm)


def _height_mm(cylinder: Cylinder) -> float | None:
    bearer = cylinder.bearer_diameter_mm
    return None if bearer is None else 0.5 * (cylinder.diameter_mm - bearer)


def _neutral_radius_mm(dressed: Dressed) -> float:
    """Where a bent plate keeps its flat length: half way through it.

    The image turns by its flat length over this radius, and the sheet goes by at the speed of the impression cylinder
    whatever the plate wears: the larger this radius, the shorter the print. Geometry.
    """
    return 0.5 * (dressed.plate_diameter_mm - dressed.dressing.plate_mm)


def _forms(unit: Unit) -> Iterator[Contact]:
    yield from (contact for contact in unit.contacts if contact.joins(PLATE))


def _check_stripes(change: PackingChange) -> None:
    known = [contact.other(PLATE) for contact in _forms(change.unit)]
    strangers = sorted(set(change.stripes_mm) - set(known))
    if strangers:
        values = {"names": ", ".join(strangers), "known": ", ".join(known)}
        raise Refusal(Problem("stripe-of-no-form-roller", values))


def _form_after(change: PackingChange, contact: Contact, pair: Pair, *, gain: float, tolerance_mm: float) -> FormAfter:
    roller, target = contact.other(PLATE), contact.stripe.target_mm
    stripe = change.stripes_mm.get(roller, target)
    now = squeeze(pair.nip, Known.STRIPE, stripe)
    grown = replace(pair, a=pair.a.grown(gain)) if contact.a == PLATE else replace(pair, b=pair.b.grown(gain))
    after = at_fixed_centres(pair, grown, engagement_mm=now.engagement_mm)
    return FormAfter(
        contact=contact.id,
        read=roller in change.stripes_mm,
        before=now,
        after=after,
        target_mm=target,
        within=after is not None and abs(after.stripe_mm - target) <= tolerance_mm,
        back_mm=gain,
    )


def _refusals(forms: list[FormAfter], limits: PackingLimits) -> Iterator[Problem]:
    for form in forms:
        values = {"contact": form.contact, "target": form.target_mm, "tolerance": limits.stripe_mm}
        if form.after is None:
            yield Problem("packing-parts-a-form", values)
        elif not form.within:
            yield Problem("packing-beyond-the-band", values | {"stripe": round(form.after.stripe_mm, 2)})


def _squeeze_notes(after: Dressed, limits: PackingLimits) -> Iterator[Problem]:
    low, high = limits.squeeze_mm
    if after.squeeze_mm is None:
        yield Problem("squeeze-without-bearers")
    elif not low <= after.squeeze_mm <= high:
        yield Problem("squeeze-not-usual", {"squeeze": after.squeeze_mm, "low": low, "high": high})
