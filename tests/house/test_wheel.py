"""What a user installs is whole: the wheel holds all the program reads, and runs from an environment of its own."""

from __future__ import annotations

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
from house.source import ROOT, SOURCE


def _run(*command: str | Path, folder: Path) -> str:
    done = subprocess.run(
        [str(part) for part in command],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        env={"HOME": str(folder)},
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel and the source archive, built by what is installed here: nothing is fetched."""
    folder = tmp_path_factory.mktemp("built")
    _run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-t", "sdist", "-d", folder, folder=ROOT)
    return folder


@pytest.fixture(scope="module")
def wheel(built: Path) -> Path:
    (path,) = built.glob("*.whl")
    return path


def _needed() -> set[str]:
    """Every file of the package that is not left over from running it."""
    kept = (path for path in SOURCE.rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    return {path.relative_to(SOURCE.parent).as_posix() for path in kept}


def test_the_wheel_holds_every_file_of_the_package(wheel: Path) -> None:
    held = {name for name in zipfile.ZipFile(wheel).namelist() if not name.partition("/")[0].endswith(".dist-info")}
    assert held == _needed()


@pytest.mark.parametrize(
    "pattern", ["messages/catalogue/en/*.toml", "library/*.toml", "library/presses/*.yaml", "figures/fonts/*.ttf"]
)
def test_the_wheel_holds_data_of_each_kind(wheel: Path, pattern: str) -> None:
    assert any(Path(name).match(f"filmsplit/{pattern}") for name in zipfile.ZipFile(wheel).namelist())


def test_the_wheel_says_what_it_is(wheel: Path) -> None:
    assert wheel.name == f"filmsplit-{__version__}-py3-none-any.whl", "pure Python, any system"
    archive = zipfile.ZipFile(wheel)
    info = f"filmsplit-{__version__}.dist-info"
    metadata = message_from_bytes(archive.read(f"{info}/METADATA"))
    assert metadata["License-Expression"] == "MIT AND Bitstream-Vera", "the code, and the lettering of the drawings"
    assert metadata["Requires-Python"] == ">=3.11"
    assert b"MIT License" in archive.read(f"{info}/licenses/LICENSE")


def test_the_source_archive_builds_the_same_wheel(built: Path, wheel: Path, tmp_path: Path) -> None:
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as opened:
        opened.extractall(tmp_path, filter="data")
    (source,) = tmp_path.iterdir()
    _run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", tmp_path, folder=source)
    (again,) = tmp_path.glob("*.whl")
    assert _checksums(again) == _checksums(wheel)


def _checksums(path: Path) -> dict[str, int]:
    return {entry.filename: entry.CRC for entry in zipfile.ZipFile(path).infolist()}


def test_the_wheel_runs_in_an_environment_of_its_own(wheel: Path, tmp_path: Path) -> None:
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
