"""Steps that touch exist only behind the lock, and the gate before them has no way round.

The rules are the project's own (no standard fixes them); where a rule follows a regulation the regulation is named:
control of hazardous energy, 29 CFR 1910.147 (isolate, lock, try to start); machine guarding, 29 CFR 1910.212 (memory).
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date, timedelta
from itertools import product

import pytest

from filmsplit.formats.press_file import load
from filmsplit.formats.procedure_file import loads_procedure
from filmsplit.library.procedures import PROCEDURES, procedure
from filmsplit.library.workshop import demo_path, demo_presses
from filmsplit.messages import Refusal
from filmsplit.procedures.for_unit import BLANKS, fitted, kinds_of
from filmsplit.procedures.gate import Facts, Passage, Statement, open_gate, passages_of
from filmsplit.procedures.procedure import Procedure, Step
from filmsplit.procedures.validate import problems_of
from filmsplit.procedures.words import PASSAGES, Act, PressState, When

TODAY = date(2030, 5, 2)
GOOD = Statement(
    person="Kim Example",
    signed_off=True,
    isolated_and_locked=True,
    start_tried=True,
    guards_and_stops_tested=True,
    made_on=TODAY,
    spell=1,
)
ALL_THERE = Facts(guards_in_place=True, lock_at_hand=True, data_sheet_at_hand=True, gloves_in_stock=True)


def step(state: PressState, act: Act = Act.WATCH, **more: object) -> Step:
    given = {"to": None, "when": When.ALWAYS, "do": "Do it.", "look_for": "", "caution": "", "chemistry": False} | more
    return Step(state=state, act=act, **given)  # type: ignore[arg-type]


def made_of(*steps: Step) -> Procedure:
    return Procedure(id="test", title="Test", source="invented", steps=steps)


def slugs(procedure_: Procedure) -> list[str]:
    return [problem.slug for problem in problems_of(procedure_)]


@pytest.mark.parametrize(("state", "act"), list(product(PressState, Act)))
def test_touching_exists_only_isolated_or_off_press(state: PressState, act: Act) -> None:
    if act is Act.CHANGE_STATE:
        return
    found = slugs(made_of(step(state, act)))
    moving_hands = act.touches and state not in (PressState.ISOLATED, PressState.OFF_PRESS)
    assert ("procedure-hands-in-moving-press" in found) == moving_hands


@pytest.mark.parametrize(("state", "to"), list(product(PressState, PressState)))
def test_nothing_goes_from_moving_rollers_to_a_roller_in_the_hand(state: PressState, to: PressState) -> None:
    found = slugs(made_of(step(state, Act.CHANGE_STATE, to=to)))
    assert ("procedure-no-such-change" in found) == ((state, to) not in PASSAGES)
    if state.moves and to is PressState.OFF_PRESS:
        assert "procedure-no-such-change" in found


def test_a_change_of_state_is_a_step_of_its_own() -> None:
    jumps = made_of(step(PressState.RUNNING), step(PressState.ISOLATED, Act.CLEAN_BY_HAND))
    assert slugs(jumps) == ["procedure-state-jumps"]
    by_the_lock = made_of(
        step(PressState.RUNNING, Act.CHANGE_STATE, to=PressState.ISOLATED), step(PressState.ISOLATED, Act.CLEAN_BY_HAND)
    )
    assert slugs(by_the_lock) == []


@pytest.mark.parametrize("words", ["Wipe the drum.", "clean it with a cloth", "Tighten the screw", "rub it by hand"])
def test_hand_work_under_another_act_is_found(words: str) -> None:
    assert "procedure-hand-work-in-words" in slugs(made_of(step(PressState.RUNNING, Act.WATCH, do=words)))
    assert slugs(made_of(step(PressState.ISOLATED, Act.CLEAN_BY_HAND, do=words))) == []


@pytest.mark.parametrize("where", ["do", "look_for", "caution"])
def test_no_step_is_called_safe(where: str) -> None:
    assert slugs(made_of(step(PressState.DESK, **{where: "Now it is safe to go on."}))) == ["procedure-calls-safe"]


@pytest.mark.parametrize("id", PROCEDURES)
def test_our_procedures_keep_the_rules_for_every_mix_of_parts(id: str) -> None:
    """Steps are left out for units without the part; whatever is left must still keep every rule."""
    general = procedure(id)
    optional = [when for when in When if when is not When.ALWAYS]
    for present in product((False, True), repeat=len(optional)):
        kinds = {When.ALWAYS} | {when for when, there in zip(optional, present, strict=True) if there}
        left = replace(general, steps=tuple(s for s in general.steps if s.when in kinds))
        assert problems_of(left) == ()


@pytest.mark.parametrize("press", demo_presses())
@pytest.mark.parametrize("id", PROCEDURES)
def test_blanks_are_filled_with_the_press_own_rollers(press: str, id: str) -> None:
    for unit in load(demo_path(press)).press.units:
        made = fitted(procedure(id), unit)
        assert When.ALWAYS in kinds_of(unit)
        assert problems_of(made) == ()
        texts = " ".join(s.do + s.look_for + s.caution for s in made.steps)
        assert not any("{" + blank + "}" in texts for blank in BLANKS)


def hands_in(chemistry: bool = True) -> Passage:
    return Passage(spell=1, steps=(step(PressState.ISOLATED, Act.CLEAN_BY_HAND, chemistry=chemistry),))


def test_the_gate_opens_for_a_full_statement_of_today() -> None:
    assert open_gate(hands_in(), GOOD, facts=ALL_THERE, today=TODAY) == hands_in().steps


STATEMENT_GAPS = [
    ("person", "  ", "gate-no-name"),
    ("signed_off", False, "gate-not-signed-off"),
    ("isolated_and_locked", False, "gate-not-isolated"),
    ("start_tried", False, "gate-start-not-tried"),
    ("guards_and_stops_tested", False, "gate-guards-not-tested"),
    ("made_on", TODAY - timedelta(days=1), "gate-not-today"),
    ("made_on", TODAY + timedelta(days=1), "gate-not-today"),
    ("spell", 2, "gate-expired"),
]
FACT_GAPS = [
    ("guards_in_place", "gate-guards-missing"),
    ("lock_at_hand", "gate-no-lock"),
    ("data_sheet_at_hand", "gate-no-data-sheet"),
    ("gloves_in_stock", "gate-no-gloves"),
]


@pytest.mark.parametrize(("field", "value", "slug"), STATEMENT_GAPS)
def test_each_gap_in_the_statement_keeps_the_gate_shut(field: str, value: object, slug: str) -> None:
    with pytest.raises(Refusal) as refused:
        open_gate(hands_in(), replace(GOOD, **{field: value}), facts=ALL_THERE, today=TODAY)
    assert [problem.slug for problem in refused.value.problems] == [slug]


@pytest.mark.parametrize(("field", "slug"), FACT_GAPS)
@pytest.mark.parametrize("value", [False, None])
def test_each_missing_thing_keeps_the_gate_shut(field: str, slug: str, value: bool | None) -> None:
    with pytest.raises(Refusal) as refused:
        open_gate(hands_in(), GOOD, facts=replace(ALL_THERE, **{field: value}), today=TODAY)
    assert [problem.slug for problem in refused.value.problems] == [slug]


def test_every_field_of_statement_and_facts_is_tried_above() -> None:
    assert {f.name for f in fields(Statement)} == {gap[0] for gap in STATEMENT_GAPS}
    assert {f.name for f in fields(Facts)} == {gap[0] for gap in FACT_GAPS}


def test_nothing_is_ticked_by_default() -> None:
    assert not any(getattr(Statement(), f.name) for f in fields(Statement))
    assert all(getattr(Facts(), f.name) is None for f in fields(Facts))


def test_a_statement_expires_at_each_run_or_inching() -> None:
    change = Act.CHANGE_STATE
    there_and_back = made_of(
        step(PressState.ISOLATED, Act.MEASURE),
        step(PressState.ISOLATED, change, to=PressState.INCHING),
        step(PressState.INCHING, change, to=PressState.ISOLATED),
        step(PressState.ISOLATED, Act.MEASURE),
    )
    first, inching, last = passages_of(there_and_back)
    assert problems_of(there_and_back) == ()
    assert open_gate(first, GOOD, facts=ALL_THERE, today=TODAY)
    for later in (inching, last):
        with pytest.raises(Refusal) as refused:
            open_gate(later, GOOD, facts=ALL_THERE, today=TODAY)
        assert [problem.slug for problem in refused.value.problems] == ["gate-expired"]


def test_a_roller_taken_off_and_put_back_behind_the_lock_needs_no_new_statement() -> None:
    change = Act.CHANGE_STATE
    off_and_on = made_of(
        step(PressState.ISOLATED, Act.LIFT_OUT),
        step(PressState.ISOLATED, change, to=PressState.OFF_PRESS),
        step(PressState.OFF_PRESS, Act.MEASURE),
        step(PressState.OFF_PRESS, change, to=PressState.ISOLATED),
        step(PressState.ISOLATED, Act.FIT),
    )
    assert {passage.spell for passage in passages_of(off_and_on)} == {1}


def test_chemistry_at_the_bench_asks_for_data_sheet_and_gloves_only() -> None:
    bench = Passage(spell=1, steps=(step(PressState.OFF_PRESS, Act.CLEAN_BY_HAND, chemistry=True),))
    with pytest.raises(Refusal) as refused:
        open_gate(bench, Statement(), facts=Facts(), today=TODAY)
    assert {problem.slug for problem in refused.value.problems} == {"gate-no-data-sheet", "gate-no-gloves"}


BROKEN = """\
filmsplit: procedure 1
id: mine
title: Mine
steps:
  - {state: running, act: clean-by-hand, do: "Wipe the drum."}
  - {state: isolated, act: measure, do: "Now it is safe."}
"""


def test_a_shops_own_file_is_told_every_rule_it_breaks_with_its_line() -> None:
    with pytest.raises(Refusal) as refused:
        loads_procedure(BROKEN, name="mine.yaml")
    found = [(problem.slug, problem.place.line if problem.place else 0) for problem in refused.value.problems]
    assert found == [
        ("procedure-hands-in-moving-press", 5),
        ("procedure-state-jumps", 6),
        ("procedure-calls-safe", 6),
    ]


@pytest.mark.parametrize("first", ["filmsplit: press 1", "kind: x", "filmsplit: procedure 2"])
def test_another_kind_of_file_is_refused_by_its_first_line(first: str) -> None:
    with pytest.raises(Refusal) as refused:
        loads_procedure(BROKEN.replace("filmsplit: procedure 1", first))
    assert refused.value.problems[0].slug == "procedure-file-first-line"
