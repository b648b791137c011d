"""What can be done about a ghost on this press with this sheet, and what cannot, with the reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial, reduce

import numpy as np

from filmsplit.press import Press
from filmsplit.press.words import MotionKind
from filmsplit.simulation.from_press import ink_network
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.period import with_common_period
from filmsplit.studies.cures import Cure, CureKind, Refused, image_of, with_image
from filmsplit.studies.film_checks import TOUCHES_MM, reach_of
from filmsplit.studies.film_setting import FilmSetting
from filmsplit.studies.sheet_image import Frame, SheetImage

BAR_MM = (4.0, 10.0)
"""Lengths of take-off bars that are tried, along the sheet (common practice: a bar of some mm in the trim)."""
BAR_GAP_MM = 3.0
"""Between image and bar, and between a bar and the edge of the sheet (common practice)."""
SHIFTS_MM = (-10.0, -5.0, 5.0, 10.0)
HEAVY = 0.5
"""Image of at least this coverage goes into a pass of its own where a job is printed in two."""
FORM_KEPT = 1
"""So many form rollers are never thrown off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """What nobody can read from files. ``trim`` says that what is not printed at the tail is cut off, ``grain_free``
    that the grain of this stock may lie either way, ``guide_free`` that the work may move sideways on its sheet;
    ``stroke_mm`` is the range in which oscillators can be set here, ``None`` where they cannot or nobody told;
    ``gripper_mm`` must stay free of image at the lead edge; ``backed`` that the back is printed from the same plate.
    """

    gripper_mm: float = 0.0
    trim: bool = True
    grain_free: bool = False
    guide_free: bool = True
    stroke_mm: tuple[float, float] | None = None
    second_pass: bool = True
    backed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """Cures of a job on its press: ``job`` has one setting an ink, ``worst`` is the place of the one whose plate and
    unit are changed where a cure changes one only."""

    press: Press
    job: tuple[FilmSetting, ...]
    worst: int
    allowed: Allowed

    def all(self) -> tuple[list[Cure], list[Refused]]:
        """What can be tried, and what cannot."""
        cures, refused = list[Cure](), list[Refused]()
        for each in (
            *self._turns(),
            *self._shifts(),
            *self._bars(),
            *self._forms(),
            *self._strokes(),
            *self._passes(),
        ):
            if isinstance(each, Cure):
                cures.append(each)
            else:
                refused.append(each)
        return cures, refused

    @property
    def setting(self) -> FilmSetting:
        """The ink with the strongest ghost."""
        return self.job[self.worst]

    @property
    def image(self) -> SheetImage:
        return image_of(self.setting)

    @property
    def frame(self) -> Frame:
        """The box round the image of all inks."""
        return reduce(Frame.around, (image_of(each).frame for each in self.job))

    def _moved(self, move: Callable[[SheetImage], SheetImage]) -> tuple[FilmSetting, ...]:
        """All inks moved alike."""
        return tuple(with_image(each, move(image_of(each))) for each in self.job)

    def _changed(self, *settings: FilmSetting) -> tuple[FilmSetting, ...]:
        """One ink changed, or printed in several passes."""
        return (*self.job[: self.worst], *settings, *self.job[self.worst + 1 :])

    def _turns(self) -> Iterator[Cure | Refused]:
        if self.allowed.backed:
            yield Refused(kind=CureKind.TURNED, reason="backed")
            yield Refused(kind=CureKind.QUARTER, reason="backed")
            return
        yield Cure(kind=CureKind.TURNED, amount=180.0, settings=self._moved(lambda image: image.turned(self.frame)))
        reason = self._not_lying()
        if reason:
            yield Refused(kind=CureKind.QUARTER, reason=reason)
            return
        for clockwise, amount in ((True, 90.0), (False, 270.0)):
            settings = self._moved(partial(SheetImage.lying, frame=self.frame, clockwise=clockwise))
            yield Cure(kind=CureKind.QUARTER, amount=amount, settings=settings)

    def _not_lying(self) -> str:
        """Why the sheet cannot run the other way round; nothing where it can."""
        length, width = self.image.size_mm
        most_length, most_width = reach_of(self.press, self.setting.unit)
        if width > most_length + TOUCHES_MM or length > most_width + TOUCHES_MM:
            return "sheet"
        if not self.allowed.grain_free:
            return "grain"
        if min(self.frame.lead_mm, width - self.frame.wide_mm) < self.allowed.gripper_mm - TOUCHES_MM:
            return "gripper"
        return ""

    def _shifts(self) -> Iterator[Cure | Refused]:
        if not self.allowed.guide_free:
            yield Refused(kind=CureKind.SHIFTED, reason="guide")
            return
        frame, width = self.frame, self.image.size_mm[1]
        fits = [by for by in SHIFTS_MM if -frame.operator_mm <= by <= width - frame.gear_mm]
        if not fits:
            yield Refused(kind=CureKind.SHIFTED, reason="no_room")
        for by in fits:
            yield Cure(
                kind=CureKind.SHIFTED,
                amount=by,
                settings=self._moved(partial(SheetImage.shifted, frame=frame, by_mm=by)),
            )

    def _bars(self) -> Iterator[Cure | Refused]:
        """At the tail, across the whole image, and across the part of it that takes least ink."""
        if not self.allowed.trim:
            yield Refused(kind=CureKind.BAR, reason="no_trim")
            return
        tail, own = self.frame.tail_mm, self.image.frame
        free = self.image.size_mm[0] - tail - 2 * BAR_GAP_MM
        fits = [bar for bar in BAR_MM if bar <= free + TOUCHES_MM]
        if not fits:
            yield Refused(kind=CureKind.BAR, reason="no_room")
        for bar in fits:
            down = (tail + BAR_GAP_MM, tail + BAR_GAP_MM + bar)
            for across in dict.fromkeys(((own.operator_mm, own.gear_mm), _lightest(self.image))):
                made = self.image.with_bar(down, across)
                yield Cure(
                    kind=CureKind.BAR,
                    amount=bar,
                    what=f"{across[0]:.0f} - {across[1]:.0f} mm",
                    ink_mm2=bar * (across[1] - across[0]),
                    settings=self._changed(with_image(self.setting, made)),
                )

    def _forms(self) -> Iterator[Cure | Refused]:
        unit, question = self.setting.unit, self.setting.question
        ink = {loop.id for loop in self.setting.network.loops if loop.role is LoopRole.ROLLER}
        forms = [each for each in unit.contacts if "plate" in (each.a, each.b) and each.other("plate") in ink]
        on = [each for each in forms if each.other("plate") not in question.thrown_off]
        for contact in on:
            id = contact.other("plate")
            if not contact.throws_off:
                yield Refused(kind=CureKind.FORM_OFF, reason="form_fixed", what=id)
            elif len(on) <= FORM_KEPT:
                yield Refused(kind=CureKind.FORM_OFF, reason="only_form", what=id)
            else:
                off = replace(question, thrown_off=question.thrown_off | {id})
                yield Cure(kind=CureKind.FORM_OFF, what=id, settings=self._changed(replace(self.setting, question=off)))

    def _strokes(self) -> Iterator[Cure | Refused]:
        unit, told = self.setting.unit, self.allowed.stroke_mm
        movers = [each for each in unit.rollers if each.motion.kind is MotionKind.OSCILLATES]
        if told is None or not movers:
            yield Refused(kind=CureKind.STROKE, reason="stroke_unknown" if movers else "no_oscillator")
            return
        for stroke in sorted(set(told)):
            yield Cure(kind=CureKind.STROKE, amount=stroke, settings=self._changed(self._stroked(stroke)))

    def _stroked(self, stroke_mm: float) -> FilmSetting:
        """All oscillators with this stroke."""
        unit = self.setting.unit
        rollers = tuple(
            replace(each, motion=replace(each.motion, stroke_mm=stroke_mm))
            if each.motion.kind is MotionKind.OSCILLATES
            else each
            for each in unit.rollers
        )
        changed = replace(unit, rollers=rollers)
        network, _ = with_common_period(ink_network(changed))
        return replace(self.setting, unit=changed, network=network)

    def _passes(self) -> Iterator[Cure | Refused]:
        if not self.allowed.second_pass:
            yield Refused(kind=CureKind.PASSES, reason="one_pass")
            return
        heavy = self.image.coverage >= HEAVY
        parts = [np.where(heavy, self.image.coverage, 0.0), np.where(heavy, 0.0, self.image.coverage)]
        if not all(part.any() for part in parts):
            yield Refused(kind=CureKind.PASSES, reason="one_kind")
            return
        settings = [with_image(self.setting, replace(self.image, coverage=part)) for part in parts]
        yield Cure(kind=CureKind.PASSES, settings=self._changed(*settings))


def _lightest(image: SheetImage) -> tuple[float, float]:
    """The columns, from first to last, whose image takes less than the mean over the image's width."""
    first, last = image.frame.operator_mm, image.frame.gear_mm
    taken = np.diff(image.down_mm) @ image.coverage
    inside = (image.across_mm[:-1] >= first - TOUCHES_MM) & (image.across_mm[1:] <= last + TOUCHES_MM)
    light = np.flatnonzero(inside & (taken < taken[inside].mean()))
    if light.size == 0:
        return first, last
    return float(image.across_mm[light[0]]), float(image.across_mm[light[-1] + 1])
