"""A made-up second language shows whether every text a person meets comes from the catalogue.

The made-up language is English with an accent on every vowel: as long, as readable, and unlike anything the code or a
demo press could say by itself. Common practice (pseudo-localisation).
"""

from __future__ import annotations

import json
import os
import re
import shutil
import string
import subprocess
import sys
import tomllib
from functools import reduce
from pathlib import Path

import pytest

from filmsplit.messages.catalogue import labels, messages
from filmsplit.messages.quantities import UNIT_BLANKS
from house.source import SOURCE

LANGUAGE = "xx"
_ACCENTED = str.maketrans("aeiouAEIOU", "áéíóúÁÉÍÓÚ")


def accented(text: str) -> str:
    """Vowels get accents; blanks and commands to type stay."""
    parts = []
    for before, name, spec, conversion in string.Formatter().parse(text):
        parts.append(before.translate(_ACCENTED).replace("{", "{{").replace("}", "}}"))
        if name is not None:
            parts.append("{" + name + (f"!{conversion}" if conversion else "") + (f":{spec}" if spec else "") + "}")
    return "".join(parts)


@pytest.fixture(scope="module")
def translated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the product with a second language in its catalogue."""
    home = tmp_path_factory.mktemp("translated")
    package = home / "filmsplit"
    shutil.copytree(SOURCE, package, ignore=shutil.ignore_patterns("__pycache__"))
    english, other = (package / "messages" / "catalogue" / language for language in ("en", LANGUAGE))
    other.mkdir()
    for path in english.glob("*.toml"):
        tables = tomllib.loads(path.read_text(encoding="utf-8"))
        (other / path.name).write_text("\n".join(_table(name, rows) for name, rows in tables.items()), encoding="utf-8")
    return home


def with_units(text: str) -> str:
    """The unit alone is told as who reads it has it, whatever the language."""
    return reduce(lambda said, blank: said.replace(*blank), UNIT_BLANKS.items(), text)


def _table(name: str, rows: dict[str, str]) -> str:
    lines = [f"{key} = {json.dumps(text if key == 'severity' else accented(text))}" for key, text in rows.items()]
    return "\n".join([f"[{name}]", *lines, ""])


def _say(home: Path, *arguments: str, language: str = LANGUAGE) -> str:
    """What the program prints, with both channels together."""
    program = "import sys; from filmsplit.cli.main import main; main(sys.argv[1:])"
    environment = {
        **os.environ,
        "PYTHONPATH": str(home),
        "FILMSPLIT_LANGUAGE": language,
        "COLUMNS": "200",
        "NO_COLOR": "1",
    }
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments],
        cwd=home,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stdout
    return done.stdout


def test_every_text_of_the_second_language_is_used(translated: Path) -> None:
    program = (
        "import json; from filmsplit.messages import label; from filmsplit.messages.catalogue import labels, messages,"
        "message_text; print(json.dumps([{key: label(key) for key in labels('en')},"
        "{slug: message_text(slug).what for slug in messages('en')}]))"
    )
    environment = {**os.environ, "PYTHONPATH": str(translated), "FILMSPLIT_LANGUAGE": LANGUAGE}
    done = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True)
    said_labels, said_messages = json.loads(done.stdout)
    assert said_labels == {key: with_units(accented(text)) for key, text in labels("en").items()}
    assert said_messages == {slug: accented(text.what) for slug, text in messages("en").items()}


def test_a_language_the_catalogue_lacks_is_english(translated: Path) -> None:
    assert _say(translated, "--help", language="qq") == _say(translated, "--help", language="en")


WORDS_OF_CLICK = {
    "usage",
    "options",
    "commands",
    "args",
    "command",
    "show",
    "this",
    "message",
    "and",
    "exit",
    "the",
    "version",
    "default",
    "required",
}
"""The words click itself puts into a help page; a known gap (docs/decisions/0015-message-catalogue.md)."""


@pytest.mark.parametrize("arguments", [(), ("press",), ("marks",), ("words",), ("demo",)], ids=" ".join)
def test_help_comes_from_the_catalogue(translated: Path, arguments: tuple[str, ...]) -> None:
    shown = _say(translated, *arguments, "--help")
    assert re.search("[áéíóú]", shown)
    # In capitals: what stands for a value. With a dash: an option's name. First on a line: a command's name.
    said = re.sub(r"--?[\w-]+|\b[A-Z_]{2,}\b|^ *[\w-]+(?=  )|^Usage:.*", " ", shown, flags=re.MULTILINE)
    english = {word.lower() for word in re.findall(r"[^\W\d_]{3,}", said) if re.search("[aeiouAEIOU]", word)}
    assert english <= WORDS_OF_CLICK | {"filmsplit", "press", "yaml", "demo", "show"}


def test_a_refusal_comes_from_the_catalogue(translated: Path) -> None:
    shown = _say(translated, "press", "show", "no-such-thing.yaml")
    assert accented(labels("en")["cli.refused"]) in shown
    assert accented(labels("en")["severity.refused"]) in shown


@pytest.mark.parametrize("text", ["Take {field} out", "{{field: value}}", "{mm:.1f} mm", "plain", "{a!r}"])
def test_the_made_up_language_keeps_blanks(text: str) -> None:
    names = [(name, spec) for _, name, spec, _ in string.Formatter().parse(text)]
    assert [(name, spec) for _, name, spec, _ in string.Formatter().parse(accented(text))] == names
