"""What was tapped on a photo so far, as it stands in an address: nothing of it is kept until somebody says so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum
from urllib.parse import urlencode

from filmsplit.messages import Problem, Refusal
from filmsplit.press.photo_scale import Dot

WIDTHS = (360, 760, 1520)
"""Pixels across: a phone, a tablet upright, and large for a sure tap."""
USUAL_WIDE = WIDTHS[1]
NEW = "new"


class Tap(Enum):
    """The taps in their order: two ends of a known length and the plate's axis; then a roller's axis and its rim."""

    END = "a"
    OTHER_END = "b"
    MIDDLE = "m"
    AXIS = "c"
    RIM = "r"


SCALING = (Tap.END, Tap.OTHER_END, Tap.MIDDLE)
PLACING = (Tap.AXIS, Tap.RIM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taps:
    """Dots by tap, how wide the photo is shown, which roller is placed, and whether positions are typed."""

    dots: Mapping[Tap, Dot]
    wide: int
    who: str
    typed: bool

    def next_of(self, order: tuple[Tap, ...]) -> Tap | None:
        """The first of an order that is still to come; ``None`` where all are there."""
        return next((each for each in order if each not in self.dots), None)

    def sent(self) -> dict[str, str]:
        """The same as fields of a form."""
        given = {each.value: f"{x:.1f},{y:.1f}" for each, (x, y) in self.dots.items()}
        asked = {"wide": str(self.wide) if self.wide != USUAL_WIDE else "", "who": self.who}
        return given | {
            name: value for name, value in (asked | {"typed": "yes" if self.typed else ""}).items() if value
        }


def taps_in(sent: Mapping[str, str], *, order: tuple[Tap, ...], size: tuple[int, int]) -> Taps:
    """The taps of ``order`` in an address, with the one that just came; :class:`Refusal` where it is off the photo."""
    wide = next((each for each in WIDTHS if str(each) == sent.get("wide")), USUAL_WIDE)
    before = {each: dot for each in order if (dot := _pair(*sent.get(each.value, "").partition(",")[::2])) is not None}
    dots = {each: dot for each, dot in before.items() if _on(dot, size)}
    taps = Taps(dots=dots, wide=wide, who=sent.get("who", "")[:80], typed=sent.get("typed") == "yes")
    came, following = _came(sent, per_pixel=size[0] / wide), taps.next_of(order)
    if came is None or following is None:
        return taps
    if not _on(came, size):
        raise Refusal(Problem("photo-dot-outside", {"wide": size[0], "high": size[1]}))
    return replace(taps, dots={**dots, following: came})


def with_query(address: str, fields: Mapping[str, str]) -> str:
    """An address with fields."""
    return address + (f"?{urlencode(fields)}" if fields else "")


def _came(sent: Mapping[str, str], *, per_pixel: float) -> Dot | None:
    """A position typed in dots of the photo, or a tap in pixels of the picture as shown."""
    typed = sent.get("right", ""), sent.get("down", "")
    if any(each.strip() for each in typed):
        return _pair(*typed) or (-1.0, -1.0)
    pixel = _pair(sent.get("at.x", ""), sent.get("at.y", ""))
    return None if pixel is None else (pixel[0] * per_pixel, pixel[1] * per_pixel)


def _on(dot: Dot, size: tuple[int, int]) -> bool:
    return 0.0 <= dot[0] <= size[0] and 0.0 <= dot[1] <= size[1]


def _pair(right: str, down: str) -> Dot | None:
    x, y = _number(right), _number(down)
    return None if x is None or y is None else (x, y)


def _number(text: str) -> float | None:
    text = text.strip()[:12].replace(",", ".")
    return float(text) if text.isascii() and text.replace(".", "", 1).isdecimal() else None
