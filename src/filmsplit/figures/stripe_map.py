"""The last stripes of a unit: a numbered sign at every contact of the train, and each stripe drawn along the face."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

from filmsplit.condition.stripe_shape import StripeRead
from filmsplit.figures.boxes import Spot
from filmsplit.figures.drawing import INK, PAPER, Drawing, circle, element, finish, group, line, num, text
from filmsplit.figures.lines import Tells
from filmsplit.figures.members import draw_roller, used_hatches
from filmsplit.figures.signs import hatch_patterns
from filmsplit.figures.stage import unit_name
from filmsplit.figures.train_map import WIDTH_MM, map_cylinders, map_id, map_stage
from filmsplit.messages import label
from filmsplit.press import Press, Unit

_SIGN_MM, _NUMBER_MM = 3.1, 3.3
_KEY_MM = 10.0
_STRIPE_MM = (54.0, 14.0)
_FACE_MM = (5.0, 49.0)
_MOST_SCALE = 1.8
_GREY = "#c8c8c8"


class Sign(Enum):
    """What is to be done at a contact, each with a shape of its own: it shows on a photocopy too."""

    LEAVE = "leave"
    SET = "set"
    HOLD = "hold"
    READ = "read"


def draw_stripe_map(press: Press, unit: Unit, *, signs: Mapping[str, tuple[int, Sign]]) -> Drawing:
    """The train with the number and sign of every contact in ``signs`` (by id); below it what the signs mean."""
    stage, height_mm = map_stage(press, unit)
    parts = [
        hatch_patterns(used_hatches(stage, Tells.PURPOSE)),
        group(map_cylinders(stage)),
        group([part for body in stage.rollers for part in draw_roller(body, Tells.PURPOSE)]),
        group([map_id(body) for body in stage.bodies.values() if body.is_roller or body.id == "plate"], fill=INK),
    ]
    parts += [_sign(nip.at, *signs[nip.joint.id]) for nip in stage.nips if nip.joint.id in signs]
    parts += _key(height_mm)
    name = label("stripe_map.figure", press=press.name or press.id, unit=unit_name(unit))
    said = ", ".join(f"{number} {id}: {label(f'stripe_map_sign.{sign.value}')}" for id, (number, sign) in signs.items())
    size = (WIDTH_MM, height_mm + _KEY_MM)
    return finish([part for part in parts if part], size_mm=size, title=name, alt=f"{name}. {said}.")


def _sign(at: Spot, number: int, sign: Sign) -> str:
    x, y = at
    words = text(str(number), (x, y + 0.36 * _NUMBER_MM), size=_NUMBER_MM, bold=True, anchor="middle")
    return _frame(at, sign) + group([words], fill=PAPER if sign in (Sign.SET, Sign.HOLD) else INK)


def _frame(at: Spot, sign: Sign) -> str:
    """Ring: leave. Black disc: set. Black square: hold. Broken ring: read."""
    x, y = at
    if sign is Sign.HOLD:
        side = 1.84 * _SIGN_MM
        corner = {"x": float(x - side / 2), "y": float(y - side / 2), "width": float(side), "height": float(side)}
        return element("rect", fill=INK, stroke=PAPER, stroke_width=0.4, **corner)
    if sign is Sign.SET:
        return circle(x, y, _SIGN_MM, fill=INK, stroke=PAPER, stroke_width=0.4)
    dash = "1.1 0.9" if sign is Sign.READ else None
    return circle(x, y, _SIGN_MM, fill=PAPER, stroke=INK, stroke_width=0.5, stroke_dasharray=dash)


def _key(top_mm: float) -> list[str]:
    """The signs and what they stand for, on white below the drawing."""
    room = {"y": float(top_mm), "width": float(WIDTH_MM), "height": float(_KEY_MM)}
    parts, step, y = [element("rect", fill=PAPER, x=0.0, **room)], WIDTH_MM / len(Sign), top_mm + 0.6 * _KEY_MM
    for number, sign in enumerate(Sign):
        x = 5.0 + step * number
        parts.append(_frame((x, y), sign))
        parts.append(text(label(f"stripe_map_sign.{sign.value}"), (x + 5.0, y + 1.2), size=3.3))
    return parts


def draw_stripe_along(stripe: StripeRead, *, target_mm: float, name: str) -> Drawing:
    """One stripe along the face, operator's side left: the widths grey, the target between dashes."""
    width_mm, height_mm = _STRIPE_MM
    middle, scale = height_mm / 2, min(_MOST_SCALE, (height_mm - 2.0) / max(*stripe.widths_mm, target_mm, 0.1))
    left, right = _FACE_MM
    xs = [left + (right - left) * part for part in stripe.along]
    upper = [(x, middle - scale * width / 2) for x, width in zip(xs, stripe.widths_mm, strict=True)]
    lower = [(x, middle + scale * width / 2) for x, width in zip(xs, stripe.widths_mm, strict=True)]
    way = "M" + "L".join(f"{num(x)} {num(y)}" for x, y in [*upper, *reversed(lower)]) + "z"
    parts = [element("path", d=way, fill=_GREY, stroke=INK, stroke_width=0.3)]
    for half in (-0.5, 0.5):
        y = middle + scale * half * target_mm
        parts.append(line([(left, y), (right, y)], stroke=INK, stroke_width=0.3, stroke_dasharray="1.6 1"))
    for x, word, anchor in ((1.0, "operator", "start"), (width_mm - 1.0, "gear", "end")):
        letter = label(f"stripe_map_side.{word}")
        parts.append(text(letter, (x, middle + 1.1), size=3.2, bold=True, anchor=anchor))
    widths = " / ".join(f"{each:g}" for each in stripe.widths_mm)
    alt = label("stripe_map.along", name=name, widths=widths, target=f"{target_mm:.1f}")
    return finish(parts, size_mm=_STRIPE_MM, title=name, alt=alt)
