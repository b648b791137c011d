"""The form in which settings are tried: its fields from what stands, and what stands from its fields."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from filmsplit.messages import label, scale_read
from filmsplit.studies.live_job import Arrangement, LiveJob, Moved
from filmsplit.web.job_fields import number_in
from filmsplit.web.length_fields import as_typed

MOVED, YES = "moved", "yes"
STEP = "step"
STROKE_STEP_MM = 1.0
STROKE_STEP_IN = 0.05
"""About a millimetre, for who reads inches."""
Sent = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slider:
    """One thing that slides: ``name`` is its field, ``words`` what it is called; figures as the form writes them."""

    name: str
    words: str
    value: str
    least: str
    most: str
    step: str


def key_sliders(job: LiveJob, moved: Moved) -> Iterator[Slider]:
    """One for every key, from the operator's side."""
    for number, key in enumerate(moved.keys, start=1):
        yield Slider(
            name=f"k{number}",
            words=label("live.key", zone=number),
            value=_figure(key),
            least=_figure(job.lowest),
            most=_figure(job.scale.highest),
            step=_figure(job.scale.settable),
        )


def sweep_slider(job: LiveJob, moved: Moved) -> Slider | None:
    """``None`` where the feed has no sweep."""
    if job.sweeps is None or moved.sweep is None:
        return None
    least, *others = job.sweeps.readings
    return Slider(
        name="sweep",
        words=label("live.sweep"),
        value=_figure(moved.sweep),
        least=_figure(least),
        most=_figure(max(job.sweeps.readings)),
        step=_figure(others[0] - least if others else 1.0),
    )


def stroke_slider(job: LiveJob, moved: Moved) -> Slider | None:
    """``None`` where nothing oscillates."""
    if job.stroke_mm is None:
        return None
    asked = moved.arrangement.stroke_mm
    return Slider(
        name="stroke",
        words=label("live.stroke"),
        value=_figure(job.stroke_mm if asked is None else asked),
        least="0",
        most=_figure(job.longest_stroke_mm),
        step=_figure(STROKE_STEP_MM),
    )


def as_read(slider: Slider) -> Slider:
    """A slider of millimetres in the reader's unit."""
    scale = scale_read()
    if scale == 1.0:
        return slider
    least, most = (f"{float(each) * scale:.4f}" for each in (slider.least, slider.most))
    return replace(slider, value=as_typed(slider.value), least=least, most=most, step=f"{STROKE_STEP_IN:g}")


def moved_in(sent: Sent, job: LiveJob) -> Moved:
    """Where everything stands by the form, as planned where it does not say; :class:`Refusal` for what is no figure."""
    planned = job.planned
    if sent.get(MOVED) != YES:
        return planned
    keys = [_read(sent, f"k{number}", label("live.key", zone=number)) for number in range(1, len(planned.keys) + 1)]
    sweep = _read(sent, "sweep", label("live.sweep"))
    moved = Moved(
        keys=tuple(one if key is None else key for key, one in zip(keys, planned.keys, strict=True)),
        sweep=planned.sweep if sweep is None or planned.sweep is None else sweep,
        arrangement=_arrangement(sent, job),
    )
    return _stepped(sent.get(STEP, ""), moved, job)


def _arrangement(sent: Sent, job: LiveJob) -> Arrangement:
    stroke = _read(sent, "stroke", label("live.stroke"))
    as_is = stroke is None or job.stroke_mm is None or _figure(stroke) == _figure(job.stroke_mm)
    return Arrangement(
        stroke_mm=None if as_is else stroke,
        off=frozenset(form for form in job.forms if sent.get(f"on_{form}") != YES),
        turned=sent.get("turned") == YES,
    )


def _stepped(asked: str, moved: Moved, job: LiveJob) -> Moved:
    """One step of the slider that was asked for (``k3+``, ``sweep-``), kept within what it can be set to."""
    sliders = [*key_sliders(job, moved), sweep_slider(job, moved), stroke_slider(job, moved)]
    slider = next((each for each in sliders if each is not None and each.name == asked[:-1]), None)
    if slider is None or asked[-1] not in "+-":
        return moved
    by = float(slider.step) if asked[-1] == "+" else -float(slider.step)
    value = min(max(float(slider.value) + by, float(slider.least)), float(slider.most))
    if slider.name == "sweep":
        return replace(moved, sweep=value)
    if slider.name == "stroke":
        return replace(moved, arrangement=replace(moved.arrangement, stroke_mm=value))
    place = int(slider.name[1:]) - 1
    return replace(moved, keys=(*moved.keys[:place], value, *moved.keys[place + 1 :]))


def _read(sent: Sent, name: str, words: str) -> float | None:
    return number_in(sent, name, words=words)


def _figure(value: float) -> str:
    """A figure as a field of numbers holds it."""
    return f"{value:.6g}"
