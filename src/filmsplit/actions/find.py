"""Find the press a person means: a file of theirs, or a press of the demo workshop."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from filmsplit.formats.press_file import LoadedPress, load
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.messages import Problem, Refusal

_SUFFIXES = frozenset({".yaml", ".yml"})


def press_path(reference: str) -> Path:
    """The file of ``reference``: a path, or the name of a demo press. Refuses what is neither."""
    path = Path(reference)
    if path.suffix.lower() in _SUFFIXES or path.is_file():
        return path
    if reference.lower() in demo_presses():
        return demo_path(reference.lower())
    near = get_close_matches(reference.lower(), demo_presses(), n=1)
    slug = "press-not-found-near" if near else "press-not-found"
    values = {"asked": reference, "near": near[0] if near else "", "known": ", ".join(demo_presses())}
    raise Refusal(Problem(slug, values))


def find_press(reference: str) -> LoadedPress:
    """The press ``reference`` means, loaded and checked. Refuses with every problem found."""
    return load(press_path(reference))
