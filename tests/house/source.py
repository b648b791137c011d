"""What the house tests read: every module of the product, parsed once."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TypeVar

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "filmsplit"

FunctionNode = ast.FunctionDef | ast.AsyncFunctionDef
_Node = TypeVar("_Node", bound=ast.AST)


@dataclass(frozen=True, slots=True)
class Module:
    """One module: where it is, its text, its tree."""

    path: Path
    text: str
    tree: ast.Module

    @property
    def name(self) -> str:
        return self.path.relative_to(SOURCE).as_posix()

    @property
    def package(self) -> str:
        return self.name.partition("/")[0]

    def nodes(self, kind: type[_Node]) -> Iterator[_Node]:
        return (node for node in ast.walk(self.tree) if isinstance(node, kind))


@cache
def modules() -> tuple[Module, ...]:
    """Every module of the product, by name."""
    return tuple(_module(path) for path in sorted(SOURCE.rglob("*.py")))


def functions() -> Iterator[tuple[Module, FunctionNode]]:
    """Every function and method of the product."""
    for module in modules():
        for node in ast.walk(module.tree):
            if isinstance(node, FunctionNode):
                yield module, node


def body_lines(node: FunctionNode) -> int:
    """Lines from the first statement after the docstring to the last; what a reader has to follow."""
    body = node.body[1:] if ast.get_docstring(node, clean=False) is not None else node.body
    if not body:
        return 0
    return (body[-1].end_lineno or 0) - body[0].lineno + 1


def called_name(call: ast.Call) -> str:
    """The last part of what is called: ``open`` for ``path.open(...)``."""
    function = call.func
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


def where(module: Module, node: ast.stmt | ast.expr | ast.excepthandler, what: str = "") -> str:
    """A place to look at, for an assertion's message."""
    return f"{module.name}:{node.lineno} {what}".rstrip()


def _module(path: Path) -> Module:
    text = path.read_text(encoding="utf-8")
    return Module(path, text, ast.parse(text))
