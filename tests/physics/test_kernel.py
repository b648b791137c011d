"""Which kernel marches is known, and a kernel made from something else is refused. Exact: a rule of ours."""

import ctypes
import shutil
import subprocess

import pytest

from filmsplit.simulation import native
from filmsplit.simulation.kernel.build import FOLDER, SOURCES, build, compiler, mark
from filmsplit.simulation.native import Standing


@pytest.fixture
def sources(tmp_path):
    """A copy of the kernel's sources, to be changed."""
    for name in SOURCES:
        shutil.copy(FOLDER / name, tmp_path / name)
    return tmp_path


@pytest.fixture
def compiles(kernel_file):
    if kernel_file is None:
        pytest.skip("no C compiler here")


@pytest.fixture
def places(monkeypatch):
    """Where to look for a kernel, as the test says; asked anew, and forgotten afterwards."""

    def look(*paths):
        monkeypatch.setattr(native, "_places", lambda: iter(paths))
        native.kernel_in_use.cache_clear()

    yield look
    native.kernel_in_use.cache_clear()


def test_a_fresh_kernel_is_used(kernel_file, compiles, places, tmp_path):  # noqa: ARG001
    places(tmp_path / "nothing here", kernel_file)
    assert native.kernel_in_use().standing is Standing.IN_USE
    assert native.kernel_in_use().path == kernel_file
    assert native.library() is not None


def test_without_a_kernel_numpy_marches_and_says_why(places, tmp_path):
    places(tmp_path / "nothing here")
    assert native.kernel_in_use().standing is Standing.NOT_BUILT
    assert native.library() is None


def test_a_kernel_of_another_source_is_refused(sources, compiles, places):  # noqa: ARG001
    with (sources / "marching.h").open("a") as file:
        file.write("\n/* another version */\n")
    assert build(sources / "kernel", folder=sources) is None
    places(sources / "kernel")
    assert native.kernel_in_use().standing is Standing.OF_OTHER_SOURCE
    assert native.library() is None


def test_a_kernel_of_another_layout_is_refused(sources, compiles, monkeypatch):  # noqa: ARG001
    assert build(sources / "kernel", folder=sources) is None
    assert native.load(sources / "kernel").standing is Standing.IN_USE
    monkeypatch.setattr(native, "LAYOUT", native.LAYOUT + 1)
    assert native.load(sources / "kernel").standing is Standing.OF_OTHER_SOURCE


def test_a_library_of_somebody_else_is_refused(compiles, tmp_path):  # noqa: ARG001
    (tmp_path / "other.c").write_text("int answer(void) { return 42; }\n")
    subprocess.run([*compiler(), "-shared", "-fPIC", "-o", tmp_path / "other", tmp_path / "other.c"], check=True)
    assert native.load(tmp_path / "other").standing is Standing.OF_OTHER_SOURCE


def test_what_is_no_library_is_refused(tmp_path):
    (tmp_path / "broken").write_bytes(b"not a library")
    assert native.load(tmp_path / "broken").standing is Standing.UNREADABLE


def test_flags_are_part_of_the_mark(monkeypatch):
    before = mark()
    monkeypatch.setattr("filmsplit.simulation.kernel.build.FLAGS", ("-O0",))
    assert mark() != before


def test_a_missing_compiler_is_named(monkeypatch, tmp_path):
    monkeypatch.setenv("CC", "no-compiler-of-this-name")
    assert "no-compiler-of-this-name" in build(tmp_path / "kernel")
    assert not (tmp_path / "kernel").exists()


def test_a_compiler_that_fails_is_quoted(sources, compiles):  # noqa: ARG001
    (sources / "marching.c").write_text("this is not C;\n")
    assert "error" in build(sources / "kernel", folder=sources)


def test_both_sides_mean_the_same_structures(sources, compiles):  # noqa: ARG001
    """Sizes as the compiler lays them out."""
    with (sources / "marching.c").open("a") as file:
        file.write("int64_t work_size(void) { return sizeof(Work_double); }\n")
        file.write("int64_t march_size(void) { return sizeof(March_double); }\n")
    assert build(sources / "kernel", folder=sources) is None
    built = ctypes.CDLL(str(sources / "kernel"))
    assert built.work_size() == ctypes.sizeof(native.Work)
    assert built.march_size() == ctypes.sizeof(native.March)
