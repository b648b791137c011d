"""Every broken press file of the corpus is refused with its message, its line and the part concerned."""

from __future__ import annotations

import pytest

from filmsplit.formats.press_file import loads
from filmsplit.messages import Problem, Refusal
from formats.corpus import GEOMETRY, GOOD, NOTICES, STRUCTURE, Broken

ALL = (*STRUCTURE, *GEOMETRY, *NOTICES)


def problems_of(text: str) -> tuple[Problem, ...]:
    try:
        return loads(text, name="broken.yaml").notices
    except Refusal as refusal:
        return refusal.problems


def test_the_good_file_is_good() -> None:
    assert loads(GOOD, name="good.yaml").notices == ()


def test_the_corpus_is_large_enough() -> None:
    assert len({case.text for case in ALL}) == len(ALL) >= 60


@pytest.mark.parametrize("case", STRUCTURE, ids=str)
def test_one_slip_gives_one_message(case: Broken) -> None:
    assert [problem.slug for problem in problems_of(case.text)] == [case.slug]


@pytest.mark.parametrize("case", ALL, ids=str)
def test_a_person_is_told_what_where_and_what_to_do(case: Broken) -> None:
    told = [problem for problem in problems_of(case.text) if problem.slug == case.slug and case.part in problem.what]
    assert [problem.severity.value for problem in told] == [case.severity] * len(told)
    assert all(problem.remedy for problem in told)
    assert ("broken.yaml", case.line) in [(problem.place.file, problem.place.line) for problem in told if problem.place]


def test_all_slips_are_told_at_once() -> None:
    text = (
        GOOD.replace("diameter_mm: 54", "diameter_mm: thick").replace("b: PR", "b: PRR").replace("hand_wheel", "wheel")
    )
    told = [problem.slug for problem in problems_of(text)]
    assert told == ["press-file-key-mistyped", "press-file-not-a-number", "press-file-member-mistyped"]


def test_a_mistyped_key_is_told_with_the_nearest_known_one() -> None:
    text = GOOD.replace("lifts_out", "lift_out")
    assert "Did you mean lifts_out?" in problems_of(text)[0].what
