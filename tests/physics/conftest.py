"""Both marching kernels under test: the C one is built from its source as it is now, or its tests are skipped."""

from __future__ import annotations

from pathlib import Path

import pytest

from filmsplit.simulation import native
from filmsplit.simulation.kernel.build import LIBRARY, build


@pytest.fixture(scope="session")
def kernel_file(tmp_path_factory: pytest.TempPathFactory) -> Path | None:
    target = tmp_path_factory.mktemp("kernel") / LIBRARY
    return target if build(target) is None else None


@pytest.fixture
def built_kernel(kernel_file: Path | None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Marching uses the C kernel."""
    if kernel_file is None:
        pytest.skip("no C compiler here: NumPy marches, and its tests stand")
    _use(kernel_file, monkeypatch)


@pytest.fixture(autouse=True)
def _fast(request: pytest.FixtureRequest, kernel_file: Path | None, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same for every other test, where there is a compiler; only the choice of a kernel is tested without."""
    if kernel_file is not None and request.path.name != "test_kernel.py":
        _use(kernel_file, monkeypatch)


@pytest.fixture(params=["numpy", "c"])
def kernel(request: pytest.FixtureRequest) -> bool:
    """Each kernel in turn: whether to march natively."""
    if request.param == "c":
        request.getfixturevalue("built_kernel")
    return bool(request.param == "c")


def _use(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kernel = native.load(file)
    monkeypatch.setattr(native, "library", lambda: kernel.library)
