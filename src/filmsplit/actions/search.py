"""Find anything of the shop by a word, or by another name for the same thing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum

from filmsplit.actions.jobs import find
from filmsplit.actions.register import Daybook, listed
from filmsplit.actions.shop import Shop, kept_presses
from filmsplit.library.glossary import Meant, entry, meant, search
from filmsplit.library.procedures import PROCEDURES, procedure
from filmsplit.messages import Problem, Refusal, label
from filmsplit.messages.catalogue import MessageText, language, messages
from filmsplit.press import Press, Roller, Unit
from filmsplit.press.words import MotionKind

LONGEST = 80
MOST = 12
"""Things shown of one kind: whoever sees twelve says more exactly what is meant."""
JOBS_LOOKED_THROUGH = 200
WORDS_SHOWN = 6

_WORD_OF_MOTION = {MotionKind.OSCILLATES: "oscillator", MotionKind.DUCTS: "ductor"}


class Kind(Enum):
    """What can be found besides the pages themselves, in the order it is shown."""

    WORD = "word"
    PLACE = "place"
    ROLLER = "roller"
    JOB = "job"
    PROCEDURE = "procedure"
    MESSAGE = "message"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One thing found: its name, a line about it, the other word it was found by, and what leads there."""

    kind: Kind
    name: str
    about: str
    by: str
    at: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was found of one kind; ``more`` counts what is not shown."""

    kind: Kind
    hits: tuple[Hit, ...]
    more: int


def look_for(shop: Shop, asked: str, *, book: Daybook) -> tuple[Found, ...]:
    """Everything that is called so, or by another name of the same thing; kinds of which nothing is are left out."""
    asked = asked.strip()[:LONGEST]
    said = meant(asked)
    if not said.parts:
        return ()
    ways = {
        Kind.WORD: _words(asked),
        Kind.PLACE: _places(shop, said),
        Kind.ROLLER: _rollers(said, book=book),
        Kind.JOB: _jobs(shop, said),
        Kind.PROCEDURE: _procedures(said),
        Kind.MESSAGE: _messages(said),
    }
    found = (_of(kind, hits) for kind, hits in ways.items())
    return tuple(each for each in found if each.hits)


def as_meant(asked: str) -> Meant:
    """What was asked for, to be looked for in texts that only a front has."""
    return meant(asked[:LONGEST])


def message_meant(slug: str) -> MessageText:
    """The message with a short name; :class:`Refusal` if there is none."""
    found = messages(language()).get(slug)
    if found is None:
        raise Refusal(Problem("message-unknown", {"asked": slug[:LONGEST]}))
    return found


def _of(kind: Kind, hits: Iterable[Hit]) -> Found:
    """What says it as typed first."""
    every = sorted(hits, key=lambda hit: bool(hit.by))
    return Found(kind=kind, hits=tuple(every[:MOST]), more=max(0, len(every) - MOST))


def _places(shop: Shop, said: Meant) -> Iterator[Hit]:
    """Presses, and the places of rollers on them."""
    for kept in kept_presses(shop):
        if kept.press is None:
            continue
        by = said.found_in(f"{kept.name} {kept.press.name}")
        if by is not None:
            yield Hit(kind=Kind.PLACE, name=kept.press.name, about=kept.press.id, by=by, at=(kept.name,))
        for unit in kept.press.units:
            for roller in unit.rollers:
                by = said.found_in(_words_of(kept.press, unit, roller=roller))
                if by is not None:
                    where = f"{kept.press.name}, {unit.id}.{roller.id}"
                    at = (kept.name, unit.id, roller.id)
                    yield Hit(kind=Kind.PLACE, name=f"{roller.id} {roller.name}", about=where, by=by, at=at)


def _words_of(press: Press, unit: Unit, *, roller: Roller) -> str:
    """All that a place on a press is called: a search may name the press as well."""
    motion = _WORD_OF_MOTION.get(roller.motion.kind)
    moves = "" if motion is None else entry(motion).term
    role = label(f"figure_role.{roller.role.value}")
    return f"{roller.id} {roller.name} {role} {moves} {unit.id} {press.id} {press.name}"


def _rollers(said: Meant, *, book: Daybook) -> Iterator[Hit]:
    for each in listed(book=book):
        at = "" if each.position is None else str(each.position.at or each.position.note)
        role = label(f"figure_role.{each.roller.facts.role}") if each.roller.facts.role else ""
        by = said.found_in(f"{each.roller.mark} {each.roller.code} {role} {at}")
        if by is not None:
            yield Hit(kind=Kind.ROLLER, name=each.roller.mark, about=at, by=by, at=(each.roller.mark,))


def _jobs(shop: Shop, said: Meant) -> Iterator[Hit]:
    """Jobs on record, of the newest."""
    for job in find(shop.records, most=JOBS_LOOKED_THROUGH):
        day = job.printed_on.isoformat()
        words = (job.title, job.ink, job.stock, job.remarks, job.operator, job.code, job.press, job.unit, day)
        by = said.found_in(" ".join(words))
        if by is not None:
            about = ", ".join(part for part in (day, f"{job.press} {job.unit}", job.ink, job.stock) if part)
            yield Hit(kind=Kind.JOB, name=job.title, about=about, by=by, at=(job.code,))


def _words(asked: str) -> Iterator[Hit]:
    wanted = meant(asked)
    for each in search(asked)[:WORDS_SHOWN]:
        by = "" if wanted.found_in(each.term) == "" else each.term
        yield Hit(kind=Kind.WORD, name=each.term, about=each.meaning, by=by, at=(each.slug,))


def _procedures(said: Meant) -> Iterator[Hit]:
    for id in PROCEDURES:
        known = procedure(id)
        by = said.found_in(f"{id} {known.title}")
        if by is not None:
            yield Hit(kind=Kind.PROCEDURE, name=known.title, about="", by=by, at=(id,))


def _messages(said: Meant) -> Iterator[Hit]:
    """Messages by the short name printed under them, or by what they say."""
    for slug, text in sorted(messages(language()).items()):
        by = said.found_in(f"{slug} {text.what}")
        if by is not None:
            yield Hit(kind=Kind.MESSAGE, name=slug, about=text.what, by=by, at=(slug,))
