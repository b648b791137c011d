"""The script that sets everything up: standard library only, and it does what it says without installing anything here.

That it works on a fresh machine is shown by whoever runs these tests through it.
"""

from __future__ import annotations

import ast
import importlib.util
import json
import os
import re
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from house.source import ROOT


@pytest.fixture
def dev(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> ModuleType:
    """The script as a module, looking at an empty folder instead of this checkout's environment."""
    spec = importlib.util.spec_from_file_location("dev", ROOT / "dev.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(module, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(module, "BOOTSTRAP", tmp_path / ".bootstrap")
    return module


def test_it_imports_the_standard_library_only() -> None:
    tree = ast.parse((ROOT / "dev.py").read_text(encoding="utf-8"))
    imported = {
        name.partition(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in ([node.module or ""] if isinstance(node, ast.ImportFrom) else [each.name for each in node.names])
    }
    assert imported <= set(sys.stdlib_module_names)


def test_an_old_python_can_read_it_far_enough_to_be_refused(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    # Older than 3.7 a Python fails on the script's first import, and says so in its own words.
    ast.parse((ROOT / "dev.py").read_text(encoding="utf-8"), feature_version=(3, 7))
    monkeypatch.setattr(dev.sys, "version_info", (3, 7, 17))
    assert dev.main(["test"]) == 1


def test_without_a_command_it_says_what_it_can_do(dev: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert dev.main([]) == 0
    shown = capsys.readouterr().out
    assert all(f"dev.py {command} " in shown for command in dev.COMMANDS)


def test_an_unknown_command_fails(dev: ModuleType) -> None:
    assert dev.main(["tset"]) == 1


def test_an_unknown_campaign_is_named(dev: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert dev.main(["campaign", "nothing-like-it"]) == 1
    assert "nothing-like-it" in capsys.readouterr().err


def test_no_way_to_packages_ends_in_words(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dev, "install_with_uv", lambda _: False)
    monkeypatch.setattr(dev, "install_with_pip", lambda _: False)
    said: list[str] = []
    monkeypatch.setattr(dev, "say", said.append)
    assert dev.main(["run"]) == 1
    assert "PIP_INDEX_URL" in said[-1]


def test_pip_takes_over_where_uv_fails(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[str] = []
    monkeypatch.setattr(dev, "find_uv", lambda: None)
    monkeypatch.setattr(dev, "install_with_pip", _installer(dev, tried))
    dev.prepare("run")
    assert tried == ["run"]


def test_it_sets_up_once_and_again_only_when_the_lock_changes(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    installed: list[str] = []
    monkeypatch.setattr(dev, "install_with_uv", _installer(dev, installed))
    monkeypatch.setattr(dev, "works", lambda python: python.parent.parent.exists())
    dev.prepare("dev")
    dev.prepare("dev")
    dev.prepare("run")  # what development needs holds what running needs
    assert installed == ["dev"]
    stamp = dev.VENV / "filmsplit-dev.json"
    stamp.write_text(json.dumps(json.loads(stamp.read_text()) | {"made_from": "an older lock"}))
    dev.prepare("dev")
    assert installed == ["dev", "dev"]


def _installer(dev: ModuleType, kinds: list[str]) -> Callable[[str], bool]:
    """Stands in for an installation: makes the folder and notes what was asked for."""

    def install(kind: str) -> bool:
        dev.VENV.mkdir(exist_ok=True)
        kinds.append(kind)
        return True

    return install


def test_an_environment_made_elsewhere_is_made_anew(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """Scripts in an environment hold its path, so a moved checkout cannot go on with it."""
    monkeypatch.setattr(dev, "install_with_uv", _installer(dev, []))
    monkeypatch.setattr(dev, "works", lambda python: python.parent.parent.exists())
    dev.prepare("run")
    stamp, left_over = dev.VENV / "filmsplit-run.json", dev.VENV / "left-over"
    left_over.touch()
    stamp.write_text(json.dumps(json.loads(stamp.read_text()) | {"checkout": "somewhere else"}))
    dev.prepare("run")
    assert not left_over.exists()


def test_what_is_no_environment_is_not_deleted(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dev, "install_with_uv", _installer(dev, []))
    dev.VENV.mkdir()
    somebodys = dev.VENV / "thesis.txt"
    somebodys.touch()
    assert dev.main(["run"]) == 1
    assert somebodys.exists()


def test_pips_index_settings_reach_uv(dev: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A person behind a mirror tells pip once. The settings are read as pip itself reads them."""
    settings = tmp_path / "pip.conf"
    settings.write_text(
        "[global]\nindex-url = https://mirror.example/simple\ntrusted-host = mirror.example\n"
        "[install]\nextra-index-url =\n  https://second.example/simple\n  https://third.example/simple\n"
    )
    for name in [name for name in os.environ if name.startswith(("PIP_", "UV_", "SSL_CERT"))]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("PIP_CONFIG_FILE", str(settings))
    monkeypatch.setenv("PIP_FIND_LINKS", "wheels-here")
    told = dev.uv_settings()
    assert told["UV_DEFAULT_INDEX"] == "https://mirror.example/simple"
    assert told["UV_INDEX"].split() == ["https://second.example/simple", "https://third.example/simple"]
    assert told["UV_INSECURE_HOST"] == "mirror.example"
    assert told["UV_FIND_LINKS"] == "wheels-here"


def test_uvs_own_index_settings_win(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("UV_DEFAULT_INDEX", "https://own.example/simple")
    monkeypatch.setenv("PIP_INDEX_URL", "https://mirror.example/simple")
    assert dev.uv_settings()["UV_DEFAULT_INDEX"] == "https://own.example/simple"


def test_other_environments_do_not_leak_in(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTHONPATH", "somewhere")
    monkeypatch.setenv("VIRTUAL_ENV", "another")
    assert not {"PYTHONPATH", "VIRTUAL_ENV"} & set(dev.child_environment())


PINNED = re.compile(r"^([A-Za-z0-9._-]+)==([^ ;\\]+)( ; (.+?))?( \\)?$", re.MULTILINE)


@pytest.mark.parametrize("lock", ["run", "dev", "uv"])
def test_each_lock_pins_everything_by_hash(lock: str) -> None:
    text = (ROOT / "requirements" / f"{lock}.txt").read_text(encoding="utf-8")
    entries = re.split(r"\n(?=[A-Za-z])", re.sub(r"^#.*\n", "", text, flags=re.MULTILINE).strip())
    assert entries
    assert all(PINNED.match(entry.partition("\n")[0]) and "--hash=sha256:" in entry for entry in entries)


def test_running_and_developing_use_the_same_versions() -> None:
    run, develop = (
        {
            (name, marker): version
            for name, version, _, marker, _ in PINNED.findall((ROOT / "requirements" / lock).read_text())
        }
        for lock in ("run.txt", "dev.txt")
    )
    assert run.items() <= develop.items()


def test_ci_runs_it() -> None:
    script = ROOT / ".ci" / "run"
    assert script.stat().st_mode & stat.S_IXUSR
    assert "dev.py test" in script.read_text(encoding="utf-8")
    subprocess.run(["bash", "-n", str(script)], check=True)
