"""From words typed to an answer about films, with progress while it takes more than a moment."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from filmsplit.actions.film import Filmed, ask_films, check_films
from filmsplit.actions.film_pictures import Picture, picture_problems_of
from filmsplit.cli.film_progress import Watching
from filmsplit.cli.film_words import FilmWords, read_question
from filmsplit.library.inks import DEFAULT_INK
from filmsplit.messages import Refusal


def ask(reference: str, words: FilmWords) -> Filmed:
    """The answer; refuses with everything at once: words, numbers, files in the way."""
    question, problems = read_question(words)
    problems += picture_problems_of(targets_of(words), over=words["over"])
    assumed = words["ink"] is None and words["ink_density"] is None
    ink = DEFAULT_INK if assumed else words["ink"]
    if problems:
        problems += check_films(reference, question, unit=words["unit"], ink=ink)
        raise Refusal(problems)
    with Watching() as watching:
        return ask_films(reference, question, unit=words["unit"], ink=ink, ink_assumed=assumed, told=watching.tell)


def targets_of(words: FilmWords) -> Mapping[Picture, Path]:
    """The files to draw into."""
    asked = {
        Picture.FILMS: words["draw"],
        Picture.MAP: words["map_"],
        Picture.PROFILE: words["profile"],
        Picture.START_UP: words["start_up"],
    }
    return {kind: path for kind, path in asked.items() if path is not None}
