"""The list of packages on the first page of the manual: each package's own line."""

from __future__ import annotations

import ast
import re
import tomllib
from pathlib import Path

import filmsplit

_BLOCK = re.compile(r"(<!-- packages: written by dev.py docs -->\n).*?(<!-- end of packages -->)", re.DOTALL)
_SOURCE = Path(filmsplit.__file__).parent
_PROJECT = Path(__file__).resolve().parents[2] / "pyproject.toml"


def layers() -> list[str]:
    """The packages in the order of the import layers, from the top."""
    contracts = tomllib.loads(_PROJECT.read_text(encoding="utf-8"))["tool"]["importlinter"]["contracts"]
    written = next(contract["layers"] for contract in contracts if contract["id"] == "layers")
    return re.findall(r"\w+", " ".join(written))


def package_lines() -> dict[str, str]:
    """Every package of the product with the first line of its docstring, in the order of the layers."""
    lines = {path.parent.name: _line(path) for path in _SOURCE.glob("*/__init__.py")}
    return {name: lines[name] for name in layers() if name in lines}


def index_page(before: str) -> str:
    """The page as it stands, its marked block replaced."""
    table = "".join(f"| `{name}` | {line} |\n" for name, line in package_lines().items())
    return _BLOCK.sub(rf"\g<1>\n| package | what it is |\n|---|---|\n{table}\n\g<2>", before)


def _line(path: Path) -> str:
    docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    return docstring.partition("\n")[0]
