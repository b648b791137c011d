"""Packages: each says what it is, the manual repeats it, importing does nothing but import."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
from importlib.metadata import distribution, packages_distributions, requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from house.source import ROOT, modules
from pages.packages import package_lines

HEAVY = ("numpy", "scipy", "coloraide", "rich", "yaml", "resvg_py", "PIL")


@pytest.mark.parametrize(("name", "line"), package_lines().items())
def test_a_package_has_one_line_that_says_what_it_is(name: str, line: str) -> None:
    assert 15 <= len(line) <= 100
    assert f"| `{name}` | {line} |" in (ROOT / "docs" / "index.md").read_text(encoding="utf-8")


def test_the_manual_lists_no_package_that_is_not_there() -> None:
    page = (ROOT / "docs" / "index.md").read_text(encoding="utf-8")
    listed = [line.split("`")[1] for line in page.splitlines() if line.startswith("| `")]
    assert listed == list(package_lines())


def test_every_module_says_what_it_is() -> None:
    # First statement a text: a docstring, even where the file holds nothing else.
    silent = [module.name for module in modules() if not module.text.lstrip().startswith('"""')]
    assert not silent


IMPORT_EVERYTHING = """
import decimal, gc, json, locale, logging, os, pkgutil, random, signal, sys, threading, warnings
import click, numpy, numpy.random, resvg_py, rich.table, yaml  # what others' modules do is not looked at

def state():
    descriptors = "/proc/self/fd"
    return {
        "environment": sorted(os.environ.items()),
        "folder": os.getcwd(),
        "files open": len(os.listdir(descriptors)) if os.path.isdir(descriptors) else 0,
        "signals": [str(signal.getsignal(number)) for number in signal.valid_signals()],
        "locale": locale.setlocale(locale.LC_ALL),
        "log handlers": [str(each) for each in logging.getLogger().handlers] + [logging.getLogger().level],
        "random": hash(random.getstate()),
        "numpy random": int(numpy.random.get_state()[1].sum()),
        "numpy errors": numpy.geterr(),
        "decimal": str(decimal.getcontext()),
        "threads": sorted(thread.name for thread in threading.enumerate()),
        "warning filters": [str(each) for each in warnings.filters],
        "garbage collector": [gc.isenabled(), gc.get_threshold()],
        "recursion": sys.getrecursionlimit(),
        "excepthook": sys.excepthook is sys.__excepthook__,
        "stdout": [sys.stdout is sys.__stdout__, sys.stderr is sys.__stderr__],
    }

before = state()
import filmsplit
names = [module.name for module in pkgutil.walk_packages(filmsplit.__path__, "filmsplit.")]
names.remove("filmsplit.__main__")  # importing that one means running the program
for name in names:
    __import__(name)
after = state()
changed = [name for name in before if before[name] != after[name]]
print(json.dumps({"changed": changed, "imported": len(names)}))
"""


def test_importing_everything_changes_nothing(tmp_path: Path) -> None:
    """Process state before and after; and no file appears where the program stands or at home."""
    environment = {"HOME": str(tmp_path), "XDG_CACHE_HOME": str(tmp_path), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [sys.executable, "-c", IMPORT_EVERYTHING],
        cwd=tmp_path,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    said = json.loads(done.stdout)
    assert said["changed"] == []
    assert said["imported"] == len(modules()) - 2
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("entry", ["filmsplit.cli.main", "filmsplit.press", "filmsplit.messages"])
def test_the_way_in_imports_nothing_heavy(entry: str) -> None:
    """What makes `--help` come at once; the seconds themselves are measured by the benchmark."""
    program = f"import sys, {entry}; print([name for name in {HEAVY!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


PERMISSIVE = (
    *("MIT", "BSD", "Apache", "ISC", "Python Software Foundation", "PSF", "Unlicense", "0BSD", "HPND", "Zlib"),
    *("Unicode-3.0", "CC0-1.0"),
)


NEEDED_BY_OTHERS = {"python-multipart"}
"""Imported by no module of ours: FastAPI reads forms and uploads with it, and leaves it to us to declare it."""


def test_what_is_needed_is_declared_and_what_is_declared_is_needed() -> None:
    modules_of = packages_distributions()
    imported = {
        canonicalize_name(modules_of[top][0])
        for module in modules()
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for top in _top_names(node)
        if top not in sys.stdlib_module_names and top != "filmsplit"
    }
    declared = {canonicalize_name(Requirement(text).name) for text in requires("filmsplit") or []}
    assert imported | NEEDED_BY_OTHERS == declared


def _top_names(node: ast.Import | ast.ImportFrom) -> set[str]:
    if isinstance(node, ast.ImportFrom):
        return {(node.module or "").partition(".")[0]}
    return {alias.name.partition(".")[0] for alias in node.names}


MIT_BEGINS = "Permission is hereby granted, free of charge, to any person obtaining a copy of this software"
RECIPROCAL = ("GPL", "MPL", "EPL", "CDDL", "EUPL", "Proprietary")


def run_time_distributions() -> list[str]:
    """Everything a user's install pulls in, followed through the metadata of what is installed."""
    found: set[str] = set()
    waiting = ["filmsplit"]
    while waiting:
        for text in requires(waiting.pop()) or []:
            requirement = Requirement(text)
            name = canonicalize_name(requirement.name)
            if name not in found and (requirement.marker is None or requirement.marker.evaluate({"extra": ""})):
                found.add(name)
                waiting.append(name)
    return sorted(found)


def _licence_said(name: str) -> str:
    """What a distribution says of itself; where its metadata is silent, what its licence file begins with."""
    metadata = distribution(name).metadata.json
    classifiers = [each for each in metadata.get("classifier", []) if each.startswith("License ::")]
    said = str(metadata.get("license_expression") or " ".join(classifiers) or metadata.get("license", ""))
    if said:
        return said
    text = " ".join(" ".join(_texts_of(name, "licenses/LICENSE")).split())
    return "MIT" if MIT_BEGINS in text else text


def _texts_of(name: str, end: str) -> list[str]:
    return [str(path.read_text()) for path in distribution(name).files or [] if str(path).endswith(end)]


TAKEN_UNCHANGED = {"pikepdf"}
"""Libraries under a licence that is reciprocal by the file (MPL-2.0), used as they are: decision 66."""


@pytest.mark.parametrize("name", [name for name in run_time_distributions() if name not in TAKEN_UNCHANGED])
def test_what_users_install_is_permissively_licensed(name: str) -> None:
    said = _licence_said(name)
    assert any(word in said for word in PERMISSIVE), said[:200]
    assert not any(word in said for word in RECIPROCAL), said[:200]


TAKEN_AS_IT_IS = {("typst", "option-ext")}
"""Compiled-in components under a licence that is reciprocal by the file (MPL-2.0), unchanged: decision 54."""


@pytest.mark.parametrize("name", run_time_distributions())
def test_what_is_compiled_into_it_is_permissive_too(name: str) -> None:
    """By the bill of materials a compiled wheel brings along (CycloneDX); wheels without one pass."""
    for bill in _texts_of(name, ".cyclonedx.json"):
        for component in json.loads(bill).get("components", []):
            if (name, component["name"]) in TAKEN_AS_IT_IS:
                continue
            said = json.dumps(component.get("licenses", []))
            assert any(word in said for word in PERMISSIVE), f"{component['name']}: {said}"
            assert not any(f" {word}" in f" {said}" for word in RECIPROCAL), f"{component['name']}: {said}"


def test_generated_pages_do_not_depend_on_chance() -> None:
    """Sets come in another order in every process; no page may show that."""
    pages = {_pages(seed) for seed in ("1", "2", "3")}
    assert len(pages) == 1


def _pages(seed: str) -> str:
    program = "from pages import PAGES; print([page('') for page in PAGES.values()])"
    environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT / "tools")}
    done = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True)
    return done.stdout
