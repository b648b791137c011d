"""What a user installs is whole: the wheel holds all the program reads, and runs from an environment of its own.

Both wheels are built: with the kernel in C, where there is a compiler here, and without.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from email import message_from_bytes
from pathlib import Path

import pytest

from filmsplit import __version__
from filmsplit.simulation.kernel.build import LIBRARY, compiler
from house.source import ROOT, SOURCE

KERNEL = f"filmsplit/simulation/kernel/{LIBRARY}"
NO_COMPILER = "there is no such compiler"


def _run(*command: str | Path, folder: Path, setting: dict[str, str] | None = None) -> str:
    done = subprocess.run(
        [str(part) for part in command],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        env={"HOME": str(folder), "PATH": os.environ["PATH"]} | (setting or {}),
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def _build(folder: Path, *targets: str, setting: dict[str, str], source: Path = ROOT) -> None:
    """By what is installed here: nothing is fetched."""
    asked = [part for target in targets for part in ("-t", target)]
    _run(sys.executable, "-m", "hatchling", "build", *asked, "-d", folder, folder=source, setting=setting)


@pytest.fixture(scope="module", params=["with", "without"])
def kernel(request: pytest.FixtureRequest) -> bool:
    """Whether the wheel shall hold the kernel in C."""
    wanted: bool = request.param == "with"
    if wanted and shutil.which(compiler()[0]) is None:
        pytest.skip("no C compiler here")
    return wanted


@pytest.fixture(scope="module")
def setting(kernel: bool) -> dict[str, str]:
    """The environment that decides it."""
    if kernel:
        return {"CC": os.environ["CC"]} if "CC" in os.environ else {}
    return {"CC": f"'{NO_COMPILER}'"}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory, setting: dict[str, str]) -> Path:
    """A folder with the wheel and the source archive."""
    folder = tmp_path_factory.mktemp("built")
    _build(folder, "wheel", "sdist", setting=setting)
    return folder


@pytest.fixture(scope="module")
def wheel(built: Path) -> Path:
    (path,) = built.glob("*.whl")
    return path


def _needed() -> set[str]:
    """Every file of the package that is not left over from running it."""
    kept = (path for path in SOURCE.rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    return {path.relative_to(SOURCE.parent).as_posix() for path in kept}


def test_the_wheel_holds_every_file_of_the_package(wheel: Path, kernel: bool) -> None:
    held = {name for name in zipfile.ZipFile(wheel).namelist() if not name.partition("/")[0].endswith(".dist-info")}
    assert held == _needed() | ({KERNEL} if kernel else set())


@pytest.mark.parametrize(
    "pattern", ["messages/catalogue/en/*.toml", "library/*.toml", "library/presses/*.yaml", "figures/fonts/*.ttf"]
)
def test_the_wheel_holds_data_of_each_kind(wheel: Path, pattern: str) -> None:
    assert any(Path(name).match(f"filmsplit/{pattern}") for name in zipfile.ZipFile(wheel).namelist())


def test_the_wheel_says_what_it_is(wheel: Path, kernel: bool) -> None:
    named, _, platform = wheel.stem.rpartition("-")
    assert named == f"filmsplit-{__version__}-py3-none", "no Python of its own: the kernel knows nothing of Python"
    assert (platform == "any") != kernel, "for any system only without the kernel"
    archive = zipfile.ZipFile(wheel)
    info = f"filmsplit-{__version__}.dist-info"
    purity = message_from_bytes(archive.read(f"{info}/WHEEL"))["Root-Is-Purelib"]
    assert purity == ("false" if kernel else "true")
    metadata = message_from_bytes(archive.read(f"{info}/METADATA"))
    assert metadata["License-Expression"] == "MIT AND Bitstream-Vera", "the code, and the lettering of the drawings"
    assert metadata["Requires-Python"] == ">=3.11"
    assert b"MIT License" in archive.read(f"{info}/licenses/LICENSE")


def test_the_source_archive_builds_the_same_wheel(
    built: Path, wheel: Path, setting: dict[str, str], tmp_path: Path
) -> None:
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as opened:
        opened.extractall(tmp_path, filter="data")
    (source,) = tmp_path.iterdir()
    _build(tmp_path, "wheel", source=source, setting=setting)
    (again,) = tmp_path.glob("*.whl")
    assert _checksums(again) == _checksums(wheel)


def _checksums(path: Path) -> dict[str, int]:
    """Of what is not compiled: a compiler may write down where it worked, and RECORD repeats what it wrote."""
    entries = zipfile.ZipFile(path).infolist()
    return {entry.filename: entry.CRC for entry in entries if not entry.filename.endswith((LIBRARY, "/RECORD"))}


def test_a_build_without_the_kernel_says_so(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    environment = {"HOME": str(tmp_path), "PATH": os.environ["PATH"], "CC": f"'{NO_COMPILER}'"}
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True, env=environment)
    assert "Without the C kernel" in done.stderr + done.stdout
    assert NO_COMPILER in done.stderr + done.stdout


MARCHED_BY = "from filmsplit.simulation.native import kernel_in_use; print(kernel_in_use().standing.name)"


def test_the_wheel_runs_in_an_environment_of_its_own(wheel: Path, kernel: bool, tmp_path: Path) -> None:
    environment = tmp_path / "environment"
    venv.create(environment, with_pip=False)
    scripts = "Scripts" if sys.platform == "win32" else "bin"
    python = environment / scripts / "python"
    _run(
        sys.executable,
        "-m",
        "pip",
        "--python",
        python,
        "install",
        "-q",
        "--no-deps",
        "--no-index",
        wheel,
        folder=tmp_path,
    )
    site = _run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", folder=tmp_path).strip()
    # What the wheel depends on is borrowed from here; this checkout is not: .pth files there are not read from here.
    (Path(site) / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    assert _run(environment / scripts / "filmsplit", "--version", folder=tmp_path).strip() == f"filmsplit {__version__}"
    whence = _run(python, "-c", "import filmsplit; print(filmsplit.__file__)", folder=tmp_path)
    assert whence.startswith(site)
    assert "ductor" in _run(environment / scripts / "filmsplit", "words", "ductor", folder=tmp_path)
    assert _run(python, "-c", MARCHED_BY, folder=tmp_path).strip() == ("IN_USE" if kernel else "NOT_BUILT")
