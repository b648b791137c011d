"""Both marching kernels under test: the C one is built into a scratch place, or its tests are skipped."""

import pytest

from filmsplit.simulation import native
from filmsplit.simulation.kernel.build import LIBRARY, build


@pytest.fixture(scope="session")
def kernel_file(tmp_path_factory):
    target = tmp_path_factory.mktemp("kernel") / LIBRARY
    return target if build(target) is None else None


@pytest.fixture
def built_kernel(kernel_file, monkeypatch):
    """Marching uses the C kernel built from the source as it is now."""
    if kernel_file is None:
        pytest.skip("no C compiler here: NumPy marches, and its tests stand")
    kernel = native.load(kernel_file)
    monkeypatch.setattr(native, "library", lambda: kernel.library)


@pytest.fixture(params=["numpy", "c"])
def kernel(request):
    """Each kernel in turn: whether to march natively."""
    if request.param == "c":
        request.getfixturevalue("built_kernel")
    return request.param == "c"
