"""The glossary is whole, and a word typed as people type it finds its entry."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmsplit.library.glossary import Entry, entries, search
from filmsplit.press.words import Role

ENTRIES = entries()


def test_there_are_enough_terms_and_each_once() -> None:
    assert len(ENTRIES) >= 70
    assert len({entry.term.lower() for entry in ENTRIES}) == len(ENTRIES)


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.slug)
def test_each_entry_is_whole(entry: Entry) -> None:
    assert entry.meaning.endswith((".", ")")), "a sentence"
    assert entry.source
    assert set(entry.see) <= {each.slug for each in ENTRIES}
    assert entry.slug not in entry.see


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.slug)
def test_a_term_finds_itself_first(entry: Entry) -> None:
    assert search(entry.term)[0] == entry
    assert search(entry.term.upper())[0] == entry


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.slug)
def test_every_synonym_finds_its_entry(entry: Entry) -> None:
    for name in entry.names:
        assert entry in search(name), name


# Pairs of British and American words for one thing: common practice.
@pytest.mark.parametrize(
    ("asked", "term"),
    [
        ("forme roller", "form roller"),
        ("form-roller", "form roller"),
        ("ink duct", "fountain"),
        ("duct roller", "fountain roller"),
        ("duct key", "ink key"),
        ("fount", "fountain solution"),
        ("damping", "dampening"),
        ("TIR", "run-out"),
        ("shore a", "hardness"),
        ("near side", "operator side"),
        ("drive side", "gear side"),
        ("makeready", "make-ready"),
        ("hickie", "hickey"),
        ("molleton", "cloth sleeve"),
        ("trailing edge", "tail edge"),
        ("lockout", "isolated and locked"),
    ],
)
def test_words_of_both_sides_of_the_ocean(asked: str, term: str) -> None:
    assert search(asked)[0].term == term


def test_an_ambiguous_word_shows_every_thing_it_may_mean() -> None:
    # In some shops the vibrator is the oscillating drum, in others the swinging ductor: common practice.
    assert {"oscillator", "drum", "ductor"} <= {entry.term for entry in search("vibrator")}


@pytest.mark.parametrize(
    ("misspelt", "term"),
    [
        ("oscilator", "oscillator"),
        ("durometre", "durometer"),
        ("distribiutor", "distributor"),
        ("bridge rolller", "bridge roller"),
        ("starvaton", "starvation"),
    ],
)
def test_near_spelling_is_enough(misspelt: str, term: str) -> None:
    assert search(misspelt)[0].term == term


@pytest.mark.parametrize("nonsense", ["", "   ", "-", "qqqqzzzz", "0"])
def test_nothing_near_is_nothing_found(nonsense: str) -> None:
    assert search(nonsense) == ()


def test_a_word_only_in_a_meaning_is_found_there() -> None:
    found = search("densitometer")
    assert [entry.term for entry in found] == ["density"]


@given(st.text(max_size=60))
def test_any_text_can_be_asked(words: str) -> None:
    assert all(isinstance(entry, Entry) for entry in search(words))


@pytest.mark.parametrize("role", Role)
def test_every_role_of_a_roller_is_explained(role: Role) -> None:
    assert search(role.value), f"no entry for the role {role.value}"
