"""One nip: in section to scale with its stripe, the pressure across it, and how load and engagement grow with it."""

from __future__ import annotations

import math

import numpy as np

from filmsplit.contact.answer import StripeAnswer, of_hardness
from filmsplit.contact.indentation import indent
from filmsplit.contact.nip import Known, squeezes, stripe_range_mm
from filmsplit.contact.rollers import Body, Pair
from filmsplit.figures.axes import DASHES_MM, Plot, draw_key, linear_axis
from filmsplit.figures.boxes import Box, Spot
from filmsplit.figures.drawing import FAINT, INK, PAPER, Drawing, circle, element, finish, group, line, text
from filmsplit.figures.heading import HEAD_MM, Subject, draw_heading
from filmsplit.figures.lines import SMALL_MM
from filmsplit.figures.page import MARGIN_MM
from filmsplit.messages import label
from filmsplit.numerics.log_curve import Array

_WIDTH_MM, _SECTION_MM, _PLOT_MM = 210.0, 78.0, 66.0
_COVER = "#d9d9d9"
MOST_HARDNESSES = len(DASHES_MM) - 1
"""So many other hardnesses can be told apart."""


def draw_stripe(answer: StripeAnswer, *, subject: Subject) -> Drawing:
    """The drawing of one answered contact; ``ValueError`` for more hardnesses than can be told apart."""
    if len(answer.question.hardnesses) > MOST_HARDNESSES:
        raise ValueError(f"at most {MOST_HARDNESSES} other hardnesses can be told apart")
    view = label("stripe_figure.view", correlation=answer.question.pair.correlation.text)
    half = (_WIDTH_MM - 2 * MARGIN_MM) / 2
    top = HEAD_MM + 4.0
    low = top + _SECTION_MM + 22.0
    left = Box(MARGIN_MM + 11.0, low, MARGIN_MM + half - 6.0, low + _PLOT_MM)
    right = Box(MARGIN_MM + half + 13.0, low, _WIDTH_MM - MARGIN_MM - 2.0, low + _PLOT_MM)
    parts = draw_heading(subject.name, view, width_mm=_WIDTH_MM, invented=subject.invented)
    parts += _section(answer, Box(MARGIN_MM, top, MARGIN_MM + half, top + _SECTION_MM))
    parts += _pressure(answer, Box(right.left, top + 8.0, right.right, top + _SECTION_MM - 2.0))
    parts += _engagements(answer, left)
    parts += _loads(answer, right)
    found = answer.found
    alt = label(
        "stripe_figure.alt",
        name=subject.name,
        stripe=f"{found.stripe_mm:.2f}",
        engagement=f"{found.engagement_mm:.3f}",
        load=f"{found.load_n_per_mm:.3f}",
    )
    height = low + _PLOT_MM + 30.0
    return finish([part for part in parts if part], size_mm=(_WIDTH_MM, height), title=subject.name, alt=alt)


def _section(answer: StripeAnswer, box: Box) -> list[str]:
    """Both bodies about the nip, squeezed as they are, the stripe marked. Larger than life, to the scale written."""
    pair, found = answer.question.pair, answer.found
    scale = _scale_for(answer)
    middle: Spot = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    above, below = pair.a, pair.b
    ra, rb = 0.5 * above.diameter_mm, 0.5 * below.diameter_mm
    # The surfaces meet where both share the engagement by their yielding; a hard body keeps its circle.
    share = _share_of_first(pair)
    a = (middle[0], middle[1] - scale * (ra - share * found.engagement_mm))
    b = (middle[0], middle[1] + scale * (rb - (1.0 - share) * found.engagement_mm))
    clip = element("clipPath", element("rect", **_rect(box)), id="nip-window")
    hard_last = [(below, b), (above, a)] if above.cover is None else [(above, a), (below, b)]
    bodies = [part for body, at in hard_last for part in _disc(body, at, scale)]
    half = 0.5 * scale * found.stripe_mm
    ends = [(middle[0] - half, middle[1]), (middle[0] + half, middle[1])]
    words = label("stripe_figure.stripe", mm=f"{found.stripe_mm:.2f}")
    return [
        element("defs", clip),
        element("g", "".join(bodies), clip_path="url(#nip-window)"),
        element("rect", fill="none", stroke=FAINT, stroke_width=0.2, **_rect(box)),
        line(ends, stroke=INK, stroke_width=1.2, stroke_linecap="butt"),
        group([line([(x, y - 5.0), (x, y + 5.0)], stroke=INK, stroke_width=0.2) for x, y in ends]),
        *_haloed(words, (middle[0], middle[1] - 6.5)),
        text(label("stripe_figure.scale", times=f"{scale:g}"), (box.left, box.bottom + 4.0), size=SMALL_MM),
    ]


def _haloed(words: str, at: Spot) -> list[str]:
    halo = {"stroke": PAPER, "stroke_width": 0.9, "paint_order": "stroke", "fill": INK}
    return [group([text(words, at, size=SMALL_MM, anchor="middle")], **halo)]


def _rect(box: Box) -> dict[str, object]:
    return {
        "x": float(box.left),
        "y": float(box.top),
        "width": float(box.right - box.left),
        "height": float(box.bottom - box.top),
    }


def _scale_for(answer: StripeAnswer) -> float:
    """Whole steps at which the stripe and the thickest cover are both well seen."""
    pair = answer.question.pair
    covers = [body.cover.thickness_mm for body in (pair.a, pair.b) if body.cover is not None]
    need = max(2.4 * answer.found.stripe_mm, 2.6 * max(covers))
    return max((step for step in (0.5, 1, 1.5, 2, 3, 4, 5, 8, 10) if step * need <= _SECTION_MM), default=0.5)


def _share_of_first(pair: Pair) -> float:
    """How much of the engagement the first body gives: all, none, or by the thickness of two covers over stiffness."""
    nip = pair.nip
    if len(nip.covers) == 1:
        return 1.0 if pair.a.cover is not None else 0.0
    first, second = (cover.thickness_mm / cover.modulus_mpa for cover in nip.covers)
    return first / (first + second)


def _disc(body: Body, at: Spot, scale: float) -> list[str]:
    radius = 0.5 * scale * body.diameter_mm
    outline = circle(*at, radius, fill=PAPER if body.cover is None else _COVER, stroke=INK, stroke_width=0.35)
    if body.cover is None:
        return [outline]
    core = radius - scale * body.cover.thickness_mm
    return [outline, circle(*at, core, fill=PAPER, stroke=INK, stroke_width=0.35)]


def _pressure(answer: StripeAnswer, box: Box) -> list[str]:
    """Pressure across the stripe."""
    nip, found = answer.question.pair.nip, answer.found
    solved = indent(0.5 * found.stripe_mm / nip.unit_mm, nip.layers)
    places = np.linspace(-1.0, 1.0, 121)
    unit = nip.plane_modulus_mpa * nip.unit_mm / nip.relative_radius_mm
    reach = 0.5 * found.stripe_mm
    plot = Plot(
        box,
        linear_axis(label("stripe_figure.across"), -reach, reach),
        linear_axis(label("stripe_figure.pressure"), 0.0, found.peak_mpa),
    )
    return [*plot.frame(), plot.curve((reach * places).tolist(), (unit * solved.pressure(places)).tolist())]


def _engagements(answer: StripeAnswer, box: Box) -> list[str]:
    """Engagement over stripe, and the overlap of rigid circles beside it."""
    pair, found = answer.question.pair, answer.found
    stripes = _stripes(answer)
    solved = squeezes(pair.nip, Known.STRIPE, stripes).engagement_mm
    overlap = stripes**2 / (8.0 * pair.relative_radius_mm)
    plot = Plot(
        box,
        linear_axis(label("squeeze.stripe_mm"), 0.0, float(stripes[-1])),
        linear_axis(label("squeeze.engagement_mm"), 0.0, float(max(solved[-1], overlap[-1]))),
    )
    key = [(None, label("stripe_figure.solved")), (DASHES_MM[1], label("stripe_figure.overlap"))]
    return [
        *plot.frame(),
        plot.curve(stripes.tolist(), solved.tolist()),
        plot.curve(stripes.tolist(), overlap.tolist(), dash=DASHES_MM[1]),
        _dot(plot, found.stripe_mm, found.engagement_mm),
        *draw_key(key, (box.left, box.bottom + 13.0)),
    ]


def _loads(answer: StripeAnswer, box: Box) -> list[str]:
    """Load over stripe: as it is, with its band, and at the other hardnesses."""
    question, found = answer.question, answer.found
    stripes = _stripes(answer)
    rows: list[tuple[str, Pair]] = [(_as_it_is(answer), question.pair)]
    for shore_a in question.hardnesses:
        rows.append((label("stripe_figure.at", shore_a=f"{shore_a:g}"), of_hardness(question.pair, shore_a)))
    loads = [squeezes(pair.nip, Known.STRIPE, stripes).load_n_per_mm for _, pair in rows]
    plot = Plot(
        box,
        linear_axis(label("squeeze.stripe_mm"), 0.0, float(stripes[-1])),
        linear_axis(label("squeeze.load_n_per_mm"), 0.0, float(max(load[-1] for load in loads))),
    )
    key = [(DASHES_MM[i], words) for i, (words, _) in enumerate(rows)]
    return [
        *plot.frame(),
        *(plot.curve(stripes.tolist(), load.tolist(), dash=DASHES_MM[i]) for i, load in enumerate(loads)),
        _band_bar(plot, answer),
        _dot(plot, found.stripe_mm, found.load_n_per_mm),
        *draw_key(key, (box.left, box.bottom + 13.0)),
    ]


def _as_it_is(answer: StripeAnswer) -> str:
    barred = answer.question.known is Known.STRIPE
    return label("stripe_figure.as-it-is-barred") if barred else label("stripe_figure.as-it-is")


def _band_bar(plot: Plot, answer: StripeAnswer) -> str:
    """How sure the load is, upright at the stripe where the stripe is what is known."""
    if answer.question.known is not Known.STRIPE:
        return ""
    at = answer.found.stripe_mm
    ends = [plot.at(at, min(load, plot.y.high)) for load in (answer.low.load_n_per_mm, answer.high.load_n_per_mm)]
    bars = [line([(x - 1.0, y), (x + 1.0, y)], stroke=INK, stroke_width=0.3) for x, y in ends]
    return group([line(ends, stroke=INK, stroke_width=0.3), *bars])


def _dot(plot: Plot, x: float, y: float) -> str:
    return circle(*plot.at(x, y), 1.0, fill=INK)


def _stripes(answer: StripeAnswer) -> Array:
    """Stripes to draw: from nearly none to one and a half times the one found, as far as the law goes."""
    low, high = stripe_range_mm(answer.question.pair.nip)
    return np.linspace(low, min(math.ceil(1.5 * answer.found.stripe_mm), high), 80)
