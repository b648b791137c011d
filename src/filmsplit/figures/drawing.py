"""A finished drawing, and the few SVG elements drawings are made of. One user unit is one millimetre of paper."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from filmsplit.figures.lettering import FONT_STACK, text_width_mm

INK = "#1a1a1a"
"""Lines and letters."""
FAINT = "#6b6b6b"
"""Hatching, leaders, ghosts: still 5:1 on white paper."""
ACCENT = "#96360f"
"""The one accent: the ink path."""
PAPER = "#ffffff"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing ready to be shown: SVG text, size on paper, and what it shows in words."""

    svg: str
    width_mm: float
    height_mm: float
    alt: str


def num(value: float) -> str:
    """A coordinate to a hundredth of a millimetre, the same text on every machine."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(tag: str, content: str = "", /, **attributes: object) -> str:
    """One SVG element; ``_`` in attribute names stands for ``-``, a trailing one is dropped; ``None`` is left out."""
    shown = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for name, value in attributes.items()
        if value is not None
    )
    return f"<{tag}{shown}>{content}</{tag}>" if content else f"<{tag}{shown}/>"


def _value(value: object) -> str:
    return num(value) if isinstance(value, float) else escape(str(value))


def group(parts: list[str], **attributes: object) -> str:
    """The parts in a ``<g>`` that shares its attributes; nothing when there are no parts."""
    return element("g", "".join(parts), **attributes) if parts else ""


def line(points: list[tuple[float, float]], **attributes: object) -> str:
    """An open line through ``points``."""
    way = "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points)
    return element("path", d=way, **{"fill": "none", **attributes})


def circle(x: float, y: float, r: float, **attributes: object) -> str:
    """A circle; not filled unless told."""
    return element("circle", cx=float(x), cy=float(y), r=float(r), **{"fill": "none", **attributes})


def text(content: str, at: tuple[float, float], *, size: float, bold: bool = False, anchor: str = "start") -> str:
    """One line of real text on its baseline, as wide as the layout reckoned whatever font the viewer has."""
    x, y = at
    return element(
        "text",
        escape(content, quote=False),
        x=float(x),
        y=float(y),
        font_size=float(size),
        font_weight="bold" if bold else None,
        text_anchor=None if anchor == "start" else anchor,
        textLength=float(text_width_mm(content, size, bold=bold)) if content.strip() else None,
        lengthAdjust="spacingAndGlyphs",
    )


def finish(parts: list[str], *, size_mm: tuple[float, float], title: str, alt: str) -> Drawing:
    """Wrap ``parts`` into a complete, accessible SVG document on white paper."""
    w, h = map(num, size_mm)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="img" '
        f'aria-labelledby="drawing-title drawing-desc" font-family="{FONT_STACK}" fill="{INK}" '
        'stroke-linecap="round" stroke-linejoin="round">'
    )
    words = f'<title id="drawing-title">{escape(title)}</title><desc id="drawing-desc">{escape(alt)}</desc>'
    paper = f'<rect width="{w}" height="{h}" fill="{PAPER}"/>'
    return Drawing("\n".join([head, words, paper, *parts, "</svg>"]) + "\n", *size_mm, alt)
