"""What the build backend does besides packing files: it compiles the marching kernel, where there is a C compiler."""

from __future__ import annotations

import importlib.util
import tempfile
from pathlib import Path
from types import ModuleType
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface
from packaging.tags import sys_tags

KERNEL = Path("filmsplit", "simulation", "kernel")
BESIDE = "filmsplit-kernel"
"""Folder beside the installed metadata for a checkout in use: nothing is ever built into its sources."""


class KernelHook(BuildHookInterface[Any]):
    """A wheel for this platform with the kernel in it; where nothing can compile it a pure one, which says so."""

    PLUGIN_NAME = "custom"
    _scratch: tempfile.TemporaryDirectory[str] | None = None

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Called before files are packed; ``version`` is standard or editable."""
        builder = _builder(Path(self.root, "src", KERNEL, "build.py"))
        self._scratch = tempfile.TemporaryDirectory()
        built = Path(self._scratch.name, builder.LIBRARY)
        failed = builder.build(built)
        if failed is not None:
            self.app.display_warning(f"Without the C kernel, so that ink marches several times slower: {failed}")
        elif version == "editable":
            build_data["force_include_editable"][str(built)] = f"{BESIDE}/{built.name}"
        else:
            build_data["force_include"][str(built)] = (KERNEL / built.name).as_posix()
            build_data["pure_python"] = False
            build_data["tag"] = f"py3-none-{_platform()}"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:  # noqa: ARG002
        """Called when everything is packed."""
        if self._scratch is not None:
            self._scratch.cleanup()


def _builder(path: Path) -> ModuleType:
    """The module that compiles, by its file: the package itself cannot be imported before it is installed."""
    spec = importlib.util.spec_from_file_location("kernel_build", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _platform() -> str:
    """The platform's own tag: nothing is claimed for other Linux systems than one this was built on."""
    wide = ("manylinux", "musllinux")
    return next(tag.platform for tag in sys_tags() if not tag.platform.startswith(wide))
