"""The table of settings holds every setting the code reads, the manual explains each, and each does what it says."""

from __future__ import annotations

import re

import click
import pytest

from filmsplit.cli.main import main
from filmsplit.messages.catalogue import labels
from filmsplit.messages.settings import SETTINGS, TRACEBACK_VARIABLE
from house.source import ROOT, modules


def test_every_variable_the_code_names_is_a_setting() -> None:
    named = {name for module in modules() for name in re.findall(r"FILMSPLIT_[A-Z_]+", module.text)}
    assert named == {setting.name for setting in SETTINGS}


OF_THE_TERMINAL = {"TERM"}
"""What a terminal says of itself; not a setting of ours."""

OF_THE_COMPILER = {"CC"}
"""Which C compiler there is, as every build reads it; only read while the program is being built."""


def test_nothing_else_of_the_environment_is_read() -> None:
    reading = r"(?:environ(?:\.get\(|\[)|getenv\()\s*[\"']([A-Za-z_]+)"
    read = {name for module in modules() for name in re.findall(reading, module.text)}
    assert read <= OF_THE_TERMINAL | OF_THE_COMPILER


def test_every_setting_has_a_heading_in_the_manual() -> None:
    page = (ROOT / "docs" / "settings.md").read_text(encoding="utf-8")
    assert re.findall(r"^## (.+)$", page, re.MULTILINE) == [setting.name for setting in SETTINGS]


def test_every_setting_is_explained() -> None:
    assert {setting.help_label for setting in SETTINGS} <= set(labels("en"))


@pytest.fixture
def failing(monkeypatch: pytest.MonkeyPatch) -> None:
    """The next command runs into a fault of our own."""

    def fail(**_: object) -> None:
        raise ZeroDivisionError("a fault made for a test")

    monkeypatch.setattr(click.Group, "main", lambda _, **given: fail(**given))


@pytest.mark.usefixtures("failing")
def test_a_fault_of_ours_is_one_message(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(TRACEBACK_VARIABLE, raising=False)
    with pytest.raises(SystemExit) as ended:
        main(["--help"])
    shown = capsys.readouterr()
    assert ended.value.code == 3
    assert "ZeroDivisionError" in shown.err
    assert "program-error" in shown.err
    assert "Traceback" not in shown.err
    assert shown.out == ""


@pytest.mark.usefixtures("failing")
def test_those_who_ask_see_where_it_happened(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(TRACEBACK_VARIABLE, "1")
    with pytest.raises(SystemExit):
        main(["--help"])
    assert "Traceback" in capsys.readouterr().err
