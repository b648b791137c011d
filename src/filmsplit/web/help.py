"""Help in place: what a page is for, what comes next, and the words of the trade it uses. Texts from the catalogue."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from filmsplit.library.glossary import entry
from filmsplit.messages import label
from filmsplit.messages.catalogue import DEFAULT_LANGUAGE, labels

_ENDING = ".html"

WORDS: Mapping[str, tuple[str, ...]] = {
    "contact": ("nip", "stripe", "target"),
    "history": ("stripe",),
    "job_log": ("coverage", "density"),
    "job_logged": ("key", "density"),
    "job_set": ("key", "sweep", "coverage"),
    "jobs": ("coverage", "zone"),
    "place": ("train", "form-roller", "oscillator"),
    "press": ("train", "nip"),
    "roller": ("hardness", "run-out"),
    "round_contact": ("stripe", "target", "operator-side", "gear-side"),
    "round_result": ("stripe", "adjuster"),
    "rounds": ("stripe",),
    "solution": ("fresh-batch", "conductivity", "ph"),
    "solution_sample": ("conductivity", "fresh-batch"),
    "solution_titration": ("titration-line",),
}
"""Slugs of the glossary that the help of a page leads to, by its template."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """``what`` the page is for, what to do ``next``, and words as (slug, term)."""

    what: str
    next: str
    words: tuple[tuple[str, str], ...]


def help_of(template: str) -> Help | None:
    """The help of a page by its template; ``None`` where nobody wrote any, which a test of every page finds."""
    page = template.removesuffix(_ENDING)
    if f"web_help.{page}" not in labels(DEFAULT_LANGUAGE):
        return None
    words = tuple((slug, entry(slug).term) for slug in WORDS.get(page, ()))
    return Help(what=label(f"web_help.{page}"), next=label(f"web_help.{page}_next"), words=words)
