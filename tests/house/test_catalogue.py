"""The catalogue and the code agree: every slug and label used exists, every one that exists is used.

Common practice for message catalogues; the manual's headings are held to them too.
"""

from __future__ import annotations

import ast
import re
import string
import tomllib
from collections import Counter
from collections.abc import Iterator
from enum import Enum
from functools import cache
from importlib import import_module
from itertools import chain

import pytest

from filmsplit.messages import Severity
from filmsplit.messages.catalogue import MessageText, labels, messages
from house.source import ROOT, SOURCE, FunctionNode, Module, called_name, modules, where

MESSAGES = messages("en")
LABELS = labels("en")
CATALOGUE = SOURCE / "messages" / "catalogue" / "en"


def test_no_slug_is_written_twice() -> None:
    tables = [tomllib.loads(path.read_text(encoding="utf-8")) for path in CATALOGUE.glob("*.toml")]
    written = Counter(chain.from_iterable(table for table in tables if all(map(_is_message, table.values()))))
    assert [slug for slug, times in written.items() if times > 1] == []
    assert set(written) == set(MESSAGES)


def test_no_group_of_labels_is_in_two_files() -> None:
    tables = [tomllib.loads(path.read_text(encoding="utf-8")) for path in CATALOGUE.glob("labels*.toml")]
    assert [group for group, times in Counter(chain.from_iterable(tables)).items() if times > 1] == []


def _is_message(entry: dict[str, str]) -> bool:
    return set(entry) == {"severity", "what", "why", "remedy"}


@pytest.mark.parametrize("slug", sorted(MESSAGES))
def test_each_message_is_whole(slug: str) -> None:
    text = MESSAGES[slug]
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", slug), "kebab-case of two words or more"
    assert text.severity in {each.value for each in Severity}
    for part in (text.what, text.why, text.remedy):
        assert re.search(r"([.?!)}]|: filmsplit [\w -]+)$", part.strip()), (
            f"a sentence, or a command at its end: {part!r}"
        )


@pytest.mark.parametrize("slug", sorted(MESSAGES))
def test_blanks_are_plain(slug: str) -> None:
    text = MESSAGES[slug]
    parts = (text.what, text.why, text.remedy)
    # Values reach the sentence as text already, so a number format would fail.
    assert not [spec for part in parts for _, _, spec, _ in string.Formatter().parse(part) if spec]


def test_every_message_has_a_heading_in_the_manual() -> None:
    page = (ROOT / "docs" / "messages.md").read_text(encoding="utf-8")
    headings = {line.removeprefix("### ") for line in page.splitlines() if line.startswith("### ")}
    assert headings == set(MESSAGES), "run: python3 dev.py docs"


def test_every_slug_the_code_names_is_in_the_catalogue() -> None:
    missing = [where(module, call, slug) for module, call, slug in _problems() if slug not in MESSAGES]
    assert not missing


def test_every_message_is_used() -> None:
    assert sorted(set(MESSAGES) - _texts_in_code()) == []


def test_every_blank_is_filled() -> None:
    """Where a problem is made with its values written beside it (most are), none of its blanks is forgotten."""
    unfilled = [
        where(module, call, f"{slug}: {sorted(blanks - given)}")
        for module, call, slug in _problems()
        if slug in MESSAGES
        and (given := _given(module, call)) is not None
        and not (blanks := _blanks_of(MESSAGES[slug])) <= given
    ]
    assert not unfilled


def _blanks_of(text: MessageText) -> set[str]:
    return _blanks(text.what) | _blanks(text.why) | _blanks(text.remedy)


def _blanks(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def _problems() -> Iterator[tuple[Module, ast.Call, str]]:
    """Every ``Problem("slug", ...)`` of the code."""
    for module in modules():
        for call in module.nodes(ast.Call):
            if called_name(call) == "Problem" and call.args and isinstance(call.args[0], ast.Constant):
                yield module, call, str(call.args[0].value)


def _given(module: Module, call: ast.Call) -> set[str] | None:
    """The values a problem is made with; None where the code computes them out of sight."""
    named = [keyword.value for keyword in call.keywords if keyword.arg == "values"]
    values = (call.args[1:2] or named or [ast.Dict(keys=[], values=[])])[0]
    if isinstance(values, ast.Name):
        assigned = _assigned(module, call, values.id)
        values = assigned if assigned is not None else values
    if not isinstance(values, ast.Dict):
        return None
    keys = {key.value if isinstance(key, ast.Constant) else None for key in values.keys}
    return None if None in keys else {str(key) for key in keys}


def _assigned(module: Module, call: ast.Call, name: str) -> ast.expr | None:
    """The only thing ever assigned to ``name`` in the function around ``call``."""
    around = [node for node in ast.walk(module.tree) if isinstance(node, FunctionNode) and call in set(ast.walk(node))]
    if not around:
        return None
    targets = [
        node.value
        for node in ast.walk(around[-1])
        if isinstance(node, ast.Assign | ast.AnnAssign)
        for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(target, ast.Name) and target.id == name
    ]
    added_to = any(
        isinstance(node, ast.AugAssign) and isinstance(node.target, ast.Name) and node.target.id == name
        for node in ast.walk(around[-1])
    )
    return targets[0] if len(targets) == 1 and not added_to else None


# Labels --------------------------------------------------------------------------------------------------------------


def test_every_label_the_code_names_is_in_the_catalogue() -> None:
    missing = [
        where(module, call, str(call.args[0].value))
        for module in modules()
        for call in module.nodes(ast.Call)
        if called_name(call) == "label" and call.args and isinstance(call.args[0], ast.Constant)
        if call.args[0].value not in LABELS
    ]
    assert not missing


def test_every_label_is_used() -> None:
    named, begun = _texts_in_code(), _beginnings_in_code()
    unused = [key for key in LABELS if key not in named and not key.startswith(begun)]
    assert not unused


def test_labels_picked_by_a_word_list_cover_the_list() -> None:
    """A group whose keys are words of one of our enums has all of that enum's words."""
    short = []
    for group, keys in _groups().items():
        lists = [words for words in _word_lists() if keys <= words]
        if f"{group}." in _beginnings_in_code() and lists and keys not in lists:
            short.append((group, sorted(min(lists, key=len) - keys)))
    assert not short


def _groups() -> dict[str, frozenset[str]]:
    groups: dict[str, set[str]] = {}
    for key in LABELS:
        group, _, word = key.partition(".")
        groups.setdefault(group, set()).add(word)
    return {group: frozenset(words) for group, words in groups.items()}


@cache
def _word_lists() -> set[frozenset[str]]:
    """The words, and the names in small letters, of every enum of the product."""
    found = set()
    for module in modules():
        dotted = "filmsplit." + module.name.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        if module.name in ("__init__.py", "__main__.py"):
            continue
        for each in vars(import_module(dotted)).values():
            if isinstance(each, type) and issubclass(each, Enum) and len(each):
                found.add(frozenset(str(member.value) for member in each))
                found.add(frozenset(member.name.lower() for member in each))
    return found


def test_every_label_a_page_names_is_in_the_catalogue() -> None:
    named, begun = _labels_in_templates()
    assert named <= set(LABELS)
    assert all(any(key.startswith(start) for key in LABELS) for start in begun)


def _labels_in_templates() -> tuple[set[str], set[str]]:
    """Keys that the pages in the browser name whole, and beginnings of those they put together with ``~``."""
    text = "\n".join(path.read_text(encoding="utf-8") for path in (SOURCE / "web" / "templates").glob("*.html"))
    calls = re.findall(r"""label\(\s*["']([\w.-]+)["']\s*(~?)""", text)
    return {key for key, more in calls if not more}, {key for key, more in calls if more}


def _texts_in_code() -> set[str]:
    constants = {node.value for module in modules() for node in module.nodes(ast.Constant)}
    return _labels_in_templates()[0] | {text for text in constants if isinstance(text, str)}


@cache
def _beginnings_in_code() -> tuple[str, ...]:
    """Constant beginnings of keys that are put together: ``f"severity.{word}"`` and ``"severity." + word``."""
    joined = [node.values[0] for module in modules() for node in module.nodes(ast.JoinedStr) if node.values]
    added = [node.left for module in modules() for node in module.nodes(ast.BinOp) if isinstance(node.op, ast.Add)]
    texts = [node.value for node in (*joined, *added) if isinstance(node, ast.Constant)]
    begun = {text for text in texts if isinstance(text, str) and re.match(r"[\w-]+\.", text)}
    return tuple(sorted(begun | _labels_in_templates()[1]))
