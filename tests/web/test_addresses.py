"""No two pages can be asked for by one address: where a word of an address stands beside an id, no id is that word.

Read from the routes themselves, so that a new page cannot hide a press or a unit.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import pytest

from filmsplit.actions.press_changes import code_problems
from filmsplit.actions.shop import Shop
from filmsplit.formats.press_file import describe
from filmsplit.library.workshop import demo_path
from filmsplit.messages import Refusal
from filmsplit.web.api import app as api
from filmsplit.web.pages.every import ROUTERS
from web.served import Visit

Steps = tuple[str, ...]


def routes() -> Iterator[tuple[str, Steps]]:
    for router in (*ROUTERS, *api.ROUTERS):
        for route in router.routes:
            for method in route.methods or ():  # type: ignore[attr-defined]
                yield method, tuple(route.path.split("/"))  # type: ignore[attr-defined]


def is_id(step: str) -> bool:
    return step.startswith("{")


def hidden() -> set[tuple[str, str]]:
    """Every fixed word of an address, and the id of another address that it would be taken for."""
    found = set()
    for (method, a), (other, b) in product(tuple(routes()), repeat=2):
        both = zip(a, b, strict=False)
        if method == other and len(a) == len(b) and all(x == y or is_id(x) or is_id(y) for x, y in both):
            found |= {(x, y) for x, y in zip(a, b, strict=True) if is_id(y) and not is_id(x)}
    return found


def unit_called(word: str) -> None:
    describe(demo_path("heron").read_text().replace("  - id: A\n", f"  - id: {word}\n", 1))


def test_there_are_such_words() -> None:
    """Else the next test would say nothing."""
    assert {("edit", "{unit}"), ("new", "{name}")} <= hidden()


@pytest.mark.parametrize(("word", "id"), sorted(hidden()), ids=str)
def test_no_id_is_the_word_of_an_address(visit: Visit, word: str, id: str) -> None:
    if id == "{name}":
        assert code_problems(Shop(visit.folder), word)
        assert code_problems(Shop(visit.folder), word.upper())
        return
    assert id == "{unit}", f"who keeps {id} from being {word}?"
    unit_called("B7")
    for each in (word, word.upper()):
        with pytest.raises(Refusal) as refusal:
            unit_called(each)
        (problem,) = refusal.value.problems
        assert problem.path[-1] == "id"
        assert each in problem.what
