"""`filmsplit procedure`: what a person sees before and after the gate."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from filmsplit.actions.procedures import procedure_for
from filmsplit.cli.procedure_commands import procedure
from filmsplit.cli.procedure_pages import show_procedure
from filmsplit.messages import Refusal

FULL = ["Kim Example", *["yes"] * 8]
"""Name, signed off, guards tested, isolated, start tried, guards, lock, data sheet, gloves."""


def shown(name: str, answers: list[str]) -> Result:
    """The procedure as printed for a person who gives these answers, one a line."""

    @click.command()
    def at_terminal() -> None:
        show_procedure(procedure_for("heron", id=name), ask=True)

    return CliRunner().invoke(at_terminal, input="\n".join(answers) + "\n")


def test_steps_behind_the_lock_appear_after_the_whole_statement() -> None:
    result = shown("start", FULL)
    assert "cannot see your press" in result.output
    assert "Fill the ink fountain" in result.output
    assert "Drop the ink forms" not in result.output  # the run has its own statement, which nobody made
    everything = shown("start", [*FULL, "Kim Example", "yes", "yes", "yes"])
    assert everything.exit_code == 0
    assert "Drop the ink forms F1, F2" in everything.output


@pytest.mark.parametrize("no", range(1, 9))
def test_one_no_keeps_the_steps_hidden(no: int) -> None:
    answers = list(FULL)
    answers[no] = "no"
    result = shown("start", answers)
    assert isinstance(result.exception, Refusal)
    assert "Fill the ink fountain" not in result.output


def test_enter_alone_is_no_answer() -> None:
    result = shown("start", ["Kim Example", "", "", "no"])
    assert "Fill the ink fountain" not in result.output


def test_without_a_person_only_the_desk_steps_are_shown() -> None:
    result = CliRunner().invoke(procedure, ["show", "heron", "start"])
    assert isinstance(result.exception, Refusal)
    assert [problem.slug for problem in result.exception.problems] == ["gate-nobody-to-ask"]
    assert "Read the set-up sheet" in result.output
    assert "Fill the ink fountain" not in result.output


def test_own_files_are_checked_one_by_one(tmp_path: Path) -> None:
    good, bad = tmp_path / "good.yaml", tmp_path / "bad.yaml"
    text = (
        'filmsplit: procedure 1\nid: mine\ntitle: Mine\nsteps:\n  - {state: STATE, act: measure, do: "Measure it."}\n'
    )
    good.write_text(text.replace("STATE", "isolated"), encoding="utf-8")
    bad.write_text(text.replace("STATE", "running"), encoding="utf-8")
    result = CliRunner().invoke(procedure, ["check", str(bad), str(good)])
    assert result.exit_code == 1
    assert "procedure-hands-in-moving-press" in result.output
    assert "Mine, 1 steps, keeps the rules" in result.output


def test_unknown_names_are_refused_with_what_there_is() -> None:
    for name, unit, slug in (("dance", None, "procedure-not-found"), ("stop", "Q", "unit-not-found")):
        with pytest.raises(Refusal) as refused:
            procedure_for("heron", id=name, unit=unit)
        assert [problem.slug for problem in refused.value.problems] == [slug]
