"""What can be done about a ghost on this press with this sheet, and what cannot, with the reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial, reduce

import numpy as np

from filmsplit.messages import Refusal
from filmsplit.press import Press
from filmsplit.press.roller import Motion, Roller
from filmsplit.press.words import MotionKind
from filmsplit.simulation.from_press import ink_network
from filmsplit.simulation.network import LoopRole
from filmsplit.simulation.period import with_common_period
from filmsplit.studies.cures import Cure, CureKind, Refused, image_of, with_image
from filmsplit.studies.film_checks import TOUCHES_MM, reach_of
from filmsplit.studies.film_setting import FilmSetting, settings_of
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
    ``timing`` that they can be set against each other; ``gripper_mm`` must stay free of image at the lead edge;
    ``backed`` that the back is printed from the same plate; ``presses`` are others of the workshop.
    """

    gripper_mm: float = 0.0
    trim: bool = True
    grain_free: bool = False
    guide_free: bool = True
    stroke_mm: tuple[float, float] | None = None
    timing: bool = False
    presses: tuple[Press, ...] = ()
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
            *self._side_bars(),
            *self._forms(),
            *self._strokes(),
            *self._timings(),
            *self._passes(),
            *self._presses(),
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

    def _side_bars(self) -> Iterator[Cure | Refused]:
        """Beside the image, as long as it is: ink that oscillators would carry into it is taken off."""
        if not self.allowed.trim:
            yield Refused(kind=CureKind.SIDE_BAR, reason="no_trim")
            return
        frame, width = self.frame, self.image.size_mm[1]
        bar = max(BAR_MM)
        places = {
            "operator": (frame.operator_mm - BAR_GAP_MM - bar, frame.operator_mm - BAR_GAP_MM),
            "gear": (frame.gear_mm + BAR_GAP_MM, frame.gear_mm + BAR_GAP_MM + bar),
        }
        for side, across in places.items():
            if across[0] < BAR_GAP_MM - TOUCHES_MM or across[1] > width - BAR_GAP_MM + TOUCHES_MM:
                yield Refused(kind=CureKind.SIDE_BAR, reason="no_room")
                continue
            made = self.image.with_bar((frame.lead_mm, frame.tail_mm), across)
            settings = self._changed(with_image(self.setting, made))
            yield Cure(kind=CureKind.SIDE_BAR, amount=bar, what=side, ink_mm2=bar * frame.long_mm, settings=settings)

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

    @property
    def _oscillators(self) -> tuple[Roller, ...]:
        return tuple(each for each in self.setting.unit.rollers if each.motion.kind is MotionKind.OSCILLATES)

    def _strokes(self) -> Iterator[Cure | Refused]:
        told, movers = self.allowed.stroke_mm, self._oscillators
        if told is None or not movers:
            yield Refused(kind=CureKind.STROKE, reason="stroke_unknown" if movers else "no_oscillator")
            return
        for stroke in sorted(set(told)):
            moved = {each.id: replace(each.motion, stroke_mm=stroke) for each in movers}
            yield Cure(kind=CureKind.STROKE, amount=stroke, settings=self._changed(_moving(self.setting, moved)))

    def _timings(self) -> Iterator[Cure | Refused]:
        """All oscillators in step, or one after the other evenly over a cycle."""
        movers = self._oscillators
        if len(movers) < 2:
            yield Refused(kind=CureKind.TIMING, reason="one_oscillator")
            return
        if not self.allowed.timing:
            yield Refused(kind=CureKind.TIMING, reason="timing_unknown")
            return
        for what, apart in (("step", 0.0), ("apart", 360.0 / len(movers))):
            moved = {each.id: replace(each.motion, phase_deg=place * apart) for place, each in enumerate(movers)}
            yield Cure(kind=CureKind.TIMING, what=what, settings=self._changed(_moving(self.setting, moved)))

    def _presses(self) -> Iterator[Cure | Refused]:
        """The whole work on each other press of the workshop, its units in order."""
        if not self.allowed.presses:
            yield Refused(kind=CureKind.PRESS, reason="press_unknown")
        for press in self.allowed.presses:
            try:
                settings = tuple(_on_press(each, press, place) for place, each in enumerate(self.job))
            except Refusal:
                yield Refused(kind=CureKind.PRESS, reason="press_refuses", what=press.name or press.id)
            else:
                yield Cure(kind=CureKind.PRESS, what=press.name or press.id, press=press, settings=settings)

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


def _moving(setting: FilmSetting, motions: Mapping[str, Motion]) -> FilmSetting:
    """The setting with some oscillators moving otherwise."""
    rollers = tuple(replace(each, motion=motions.get(each.id, each.motion)) for each in setting.unit.rollers)
    unit = replace(setting.unit, rollers=rollers)
    network, _ = with_common_period(ink_network(unit))
    return replace(setting, unit=unit, network=network)


def _on_press(setting: FilmSetting, press: Press, place: int) -> FilmSetting:
    """The same image and sheet on another press. :class:`Refusal` where it does not take them."""
    image = image_of(setting)
    question = replace(
        setting.question,
        coverage=image.coverage,
        coverage_edges_mm=(image.down_mm, image.across_mm),
        sheet_mm=image.size_mm,
        sweep_mm=None,
        key_films_um=None,
        thrown_off=frozenset(),
    )
    return settings_of(press, (press.units[place % len(press.units)],), question)[0]


def _lightest(image: SheetImage) -> tuple[float, float]:
    """The columns, from first to last, whose image takes less than the mean over the image's width."""
    first, last = image.frame.operator_mm, image.frame.gear_mm
    taken = np.diff(image.down_mm) @ image.coverage
    inside = (image.across_mm[:-1] >= first - TOUCHES_MM) & (image.across_mm[1:] <= last + TOUCHES_MM)
    light = np.flatnonzero(inside & (taken < taken[inside].mean()))
    if light.size == 0:
        return first, last
    return float(image.across_mm[light[0]]), float(image.across_mm[light[-1] + 1])
