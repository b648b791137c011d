#!/usr/bin/env python3
"""The one door to this checkout. It needs Python 3.11 or newer and nothing else.

    python3 dev.py run [ARGS]        set up, then run filmsplit (without ARGS: the demo workshop)
    python3 dev.py test [ARGS]       set up for development, then every check (with ARGS: only pytest, with these)
    python3 dev.py lint              only the checks that run no test
    python3 dev.py docs [--check]    write the generated pages again (--check: only say which are out of date)
    python3 dev.py campaign [NAME]   a longer test campaign (without NAME: which there are)
    python3 dev.py bench             measure start-up and answer times, and the ink engine
    python3 dev.py lock              lock the newest packages that pyproject.toml allows

Everything is installed into .venv in this folder, from your own package index settings, exactly as locked in
requirements/*.txt. Delete .venv and .bootstrap to be rid of it.
"""

from __future__ import annotations

import ast
import hashlib
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BOOTSTRAP = ROOT / ".bootstrap"
LOCKS = ROOT / "requirements"
CAMPAIGNS = ROOT / "tests" / "campaigns"
KERNEL = "src/filmsplit/simulation/kernel"
BUILT_FROM = ("hatch_build.py", *(f"{KERNEL}/{name}" for name in ("build.py", "marching.c", "laws.h", "marching.h")))
"""What the kernel in C is built from when this checkout is installed."""

OLDEST_PYTHON = (3, 11)
INTERRUPTED = 130

PIP_TO_UV = {
    "index-url": "UV_DEFAULT_INDEX",
    "extra-index-url": "UV_INDEX",
    "find-links": "UV_FIND_LINKS",
    "trusted-host": "UV_INSECURE_HOST",
    "cert": "SSL_CERT_FILE",
}
"""uv does not read pip's settings; a person who has told pip about a mirror should not have to tell it twice."""

CHECKS = {
    "ruff check": ["-m", "ruff", "check", "."],
    "ruff format": ["-m", "ruff", "format", "--check", "."],
    "mypy": ["-m", "mypy"],
    "import layers": ["-c", "from importlinter.cli import lint_imports_command; lint_imports_command()", "--no-logo"],
    "generated docs": ["tools/generate_docs.py", "--check"],
}
PYTEST = ["-m", "pytest", "-n", "auto", "--dist", "worksteal"]


class Stop(Exception):
    """Cannot go on; the text says why and what to do."""


def main(arguments: list[str]) -> int:
    """Find the command and run it; the exit code of the last thing that failed, or 0."""
    if sys.version_info < OLDEST_PYTHON:
        found, needed = (".".join(str(part) for part in version[:2]) for version in (sys.version_info, OLDEST_PYTHON))
        say(f"This is Python {found}; {needed} or newer is needed. Run it as: python{needed} dev.py ...")
        return 1
    command, rest = (arguments[0], arguments[1:]) if arguments else ("--help", [])
    if command not in COMMANDS:
        print(__doc__.strip())
        return 0 if command in ("-h", "--help", "help") else 1
    try:
        return COMMANDS[command](rest)
    except Stop as reason:
        say(str(reason))
        return 1
    except KeyboardInterrupt:
        say("stopped")
        return INTERRUPTED


# Commands ------------------------------------------------------------------------------------------------------------


def run(arguments: list[str]) -> int:
    """The product itself, from the caller's own folder."""
    prepare("run")
    return call([program("filmsplit"), *(arguments or ["demo"])])


def test(arguments: list[str]) -> int:
    """Every check, pytest last so that its closing line closes the output."""
    prepare("dev")
    if arguments:
        return in_checkout(["-m", "pytest", *arguments])
    failed = failing_checks()
    say("pytest")
    code = in_checkout(PYTEST)
    if failed:
        say("failed besides pytest: " + ", ".join(failed))
    return code or bool(failed)


def lint(_: list[str]) -> int:
    """The checks that run no test."""
    prepare("dev")
    failed = failing_checks()
    say("failed: " + ", ".join(failed) if failed else "all checks passed")
    return int(bool(failed))


def docs(arguments: list[str]) -> int:
    """Write the generated pages again, or check them."""
    prepare("dev")
    return in_checkout(["tools/generate_docs.py", *arguments])


def campaign(arguments: list[str]) -> int:
    """One of the scripts in tests/campaigns."""
    names = sorted(path.stem for path in CAMPAIGNS.glob("*.py") if not path.stem.startswith("_"))
    if not arguments:
        print("Campaigns: " + (", ".join(names) or "none yet"))
        return 0
    if arguments[0] not in names:
        raise Stop(f"There is no campaign {arguments[0]!r}. There are: {', '.join(names) or 'none yet'}")
    prepare("dev")
    return in_checkout([str(CAMPAIGNS / f"{arguments[0]}.py"), *arguments[1:]])


def bench(arguments: list[str]) -> int:
    """Start-up and answer times, as a table."""
    prepare("dev")
    code = in_checkout(["tools/bench.py", *arguments])
    for script in sorted((ROOT / "tools").glob("bench_*.py")):
        print(flush=True)
        code = in_checkout([str(script)]) or code
    return code


def lock(_: list[str]) -> int:
    """Resolve pyproject.toml again into requirements/*.txt: versions and hashes, no addresses."""
    uv = find_uv()
    if uv is None:
        raise Stop("Locking needs uv, and it could not be installed. See the messages above.")
    compiled = [uv, "pip", "compile", "--quiet", "--upgrade", "--universal", "--python-version", "3.11"]
    compiled += ["--generate-hashes", "--no-annotate", "--custom-compile-command", "python3 dev.py lock"]
    run_lock, project = LOCKS / "run.txt", "pyproject.toml"
    for output, sources in {
        LOCKS / "uv.txt": ["requirements/uv.in"],
        run_lock: [project, "--group", "build"],
        LOCKS / "dev.txt": [project, "--group", "build", "--group", "dev", "--constraint", str(run_lock)],
    }.items():
        code = call([*compiled, *sources, "--output-file", str(output)], cwd=ROOT, env=uv_settings())
        if code:
            return code
    say("Locked. Now: python3 dev.py test")
    return 0


COMMANDS: dict[str, Callable[[list[str]], int]] = {
    each.__name__: each for each in (run, test, lint, docs, campaign, bench, lock)
}


def failing_checks() -> list[str]:
    """Run the checks, all of them even where one fails; the names of those that failed."""
    failed = []
    for name, command in CHECKS.items():
        say(name)
        if in_checkout(command):
            failed.append(name)
    return failed


# The private environment ---------------------------------------------------------------------------------------------


def prepare(kind: str) -> None:
    """Make ``.venv`` hold what ``requirements/<kind>.txt`` locks. Does nothing when it already does."""
    stamps = {name: VENV / f"filmsplit-{name}.json" for name in ("run", "dev")}
    enough = ("dev",) if kind == "dev" else ("run", "dev")
    if any(read_stamp(stamps[name]) == stamp_for(name) for name in enough) and works(venv_python(VENV)):
        return
    began = time.monotonic()
    say(f"Setting up .venv in this checkout (locked in requirements/{kind}.txt). This happens once.")
    clear_foreign_environment(stamps)
    for stamp in stamps.values():
        stamp.unlink(missing_ok=True)
    if not (install_with_uv(kind) or install_with_pip(kind)):
        raise Stop(
            "The packages could not be installed; the reason stands above. If this machine gets packages only through"
            " a mirror, tell pip (pip config set global.index-url ...) or set PIP_INDEX_URL, then run this again."
        )
    stamps[kind].write_text(json.dumps(stamp_for(kind)), encoding="utf-8")
    say(f"Ready after {time.monotonic() - began:.0f} s.")


def install_with_uv(kind: str) -> bool:
    """Fill ``.venv`` through uv; False if uv cannot be had or fails."""
    uv = find_uv()
    if uv is None:
        return False
    if not works(venv_python(VENV)):
        make = [uv, "venv", "--quiet", "--allow-existing", "--no-project", "--python", sys.executable, str(VENV)]
        if call(make, cwd=ROOT):
            return False
    pip = [uv, "pip", "install", "--quiet", "--python", str(venv_python(VENV))]
    done = install_locked(pip, kind, env=uv_settings())
    if not done:
        say("uv did not get there; trying again with pip.")
    return done


def install_with_pip(kind: str) -> bool:
    """Fill ``.venv`` with nothing but what Python brings along."""
    if call([sys.executable, "-m", "venv", str(VENV)], cwd=ROOT):
        raise Stop("Python could not make an environment. On Debian and its relatives: apt install python3-venv")
    pip = [str(venv_python(VENV)), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    return install_locked(pip, kind, env=None)


def install_locked(pip: list[str], kind: str, *, env: dict[str, str] | None) -> bool:
    """The locked packages, each checked against its hash, then this checkout itself."""
    packages = [*pip, "--require-hashes", "--requirement", str(LOCKS / f"{kind}.txt")]
    itself = [*pip, "--no-deps", "--no-build-isolation", "--editable", str(ROOT)]
    return not (call(packages, cwd=ROOT, env=env) or call(itself, cwd=ROOT, env=env))


def find_uv() -> str | None:
    """uv from the PATH, or one of our own in ``.bootstrap``; None where it cannot be installed."""
    own = executable(BOOTSTRAP, "uv")
    found = shutil.which("uv") or (str(own) if own.exists() else None)
    if found:
        return found
    say("Fetching uv, which installs packages fast.")
    if call([sys.executable, "-m", "venv", str(BOOTSTRAP)], cwd=ROOT):
        return None
    pip = [str(venv_python(BOOTSTRAP)), "-m", "pip", "install", "--disable-pip-version-check", "--retries", "1"]
    fetch = [*pip, "--require-hashes", "--requirement", str(LOCKS / "uv.txt")]
    # Quietly: if there is no way to packages at all, pip says so below, and once is enough.
    fetched = subprocess.run(fetch, capture_output=True, check=False, env=child_environment()).returncode == 0
    if not fetched or not own.exists():
        say("uv cannot be had here; going on with pip.")
        return None
    return str(own)


def uv_settings() -> dict[str, str]:
    """This process's environment, with pip's index settings added in uv's words where uv has none of its own."""
    env = child_environment()
    if any(name in env for name in ("UV_DEFAULT_INDEX", "UV_INDEX", "UV_INDEX_URL", "UV_EXTRA_INDEX_URL")):
        return env
    for option, value in pip_settings().items():
        if option in PIP_TO_UV:
            # pip parts several addresses by any white space, uv by commas or single spaces.
            joined = ",".join(value.split()) if option == "find-links" else " ".join(value.split())
            env.setdefault(PIP_TO_UV[option], joined)
    # Like pip, look at every index for the locked version; the hashes say which file is meant.
    env.setdefault("UV_INDEX_STRATEGY", "unsafe-best-match")
    return env


def pip_settings() -> dict[str, str]:
    """What pip has been told about indexes. Later sources win: settings file, ``install`` section, environment."""
    python = venv_python(BOOTSTRAP) if works(venv_python(BOOTSTRAP)) else Path(sys.executable)
    listed = subprocess.run(
        [str(python), "-m", "pip", "config", "list"],
        capture_output=True,
        text=True,
        check=False,
        env=child_environment(),
    )
    settings: dict[str, str] = {}
    for section in ("global.", "install.", ":env:."):
        for line in listed.stdout.splitlines():
            name, _, value = line.partition("=")
            if name.startswith(section):
                settings[name.removeprefix(section)] = str(ast.literal_eval(value))
    return settings


def clear_foreign_environment(stamps: dict[str, Path]) -> None:
    """Start afresh if ``.venv`` was made at another place or for another Python, or no longer runs."""
    made_by_us = [stamp for stamp in map(read_stamp, stamps.values()) if stamp]
    here = stamp_for("run")
    moved = any(stamp[key] != here[key] for stamp in made_by_us for key in ("checkout", "python"))
    for environment, stale in ((VENV, moved), (BOOTSTRAP, False)):
        if not environment.exists() or (works(venv_python(environment)) and not stale):
            continue
        if any(environment.iterdir()) and not (environment / "pyvenv.cfg").exists() and not made_by_us:
            raise Stop(f"{environment} is in the way: it is no Python environment. Move it, then run this again.")
        shutil.rmtree(environment)


def stamp_for(kind: str) -> dict[str, str]:
    """What ``.venv`` is made from: if any of it changes, it is filled again."""
    digest = hashlib.sha256()
    for path in (LOCKS / f"{kind}.txt", ROOT / "pyproject.toml", *(ROOT / name for name in BUILT_FROM)):
        digest.update(path.read_bytes())
    return {"made_from": digest.hexdigest(), "checkout": str(ROOT), "python": sys.version}


def read_stamp(path: Path) -> dict[str, str]:
    """The stamp left by the last set-up, or nothing."""
    try:
        stamp = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return stamp if isinstance(stamp, dict) else {}


# Processes -----------------------------------------------------------------------------------------------------------


def executable(environment: Path, name: str) -> Path:
    """A program of an environment."""
    return environment / ("Scripts" if os.name == "nt" else "bin") / (name + (".exe" if os.name == "nt" else ""))


def venv_python(environment: Path) -> Path:
    """The Python of an environment."""
    return executable(environment, "python")


def program(name: str) -> str:
    """A program of ``.venv``."""
    return str(executable(VENV, name))


def works(python: Path) -> bool:
    """Whether this Python can be started at all (its base may have been removed) and is new enough."""
    if not python.exists():
        return False
    asked = f"import sys; sys.exit(sys.version_info < {OLDEST_PYTHON})"
    return subprocess.run([str(python), "-c", asked], capture_output=True, check=False).returncode == 0


def in_checkout(arguments: list[str]) -> int:
    """Run ``.venv``'s Python in the checkout's folder."""
    return call([program("python"), *arguments], cwd=ROOT)


def call(command: list[str], *, cwd: Path | None = None, env: dict[str, str] | None = None) -> int:
    """Run a command, its output going where ours goes; its exit code."""
    sys.stdout.flush()
    try:
        return subprocess.call(command, cwd=cwd, env=env or child_environment(), stdin=None)
    except OSError as error:
        raise Stop(f"{command[0]} could not be started: {error.strerror}") from error


def child_environment() -> dict[str, str]:
    """Ours, without what would leak another environment's packages into the private one."""
    leaking = ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV", "CONDA_PREFIX", "PIP_REQUIRE_VIRTUALENV")
    return {name: value for name, value in os.environ.items() if name not in leaking} | {"PYTHONNOUSERSITE": "1"}


def say(text: str) -> None:
    """A line of our own, apart from the output of what we run."""
    print(f"[dev] {text}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
