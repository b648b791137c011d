"""Mutants of the ink engine at random: one small change of its source at a time, and tests/physics must go red.

Prints the changes that no test noticed. Each is either one that changes nothing a caller can see, or a test to write.
Run from the project's folder: ``python tests/campaigns/mutants.py [changes per file] [seed] [file ...]``.
"""

from __future__ import annotations

import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src"
SIMULATION = "filmsplit/simulation"
FILES = (
    *(f"{SIMULATION}/{name}.py" for name in ("exchange", "runs", "train", "numpy_march", "work", "march", "schedule")),
    *(f"{SIMULATION}/{name}.py" for name in ("demand", "state", "stops", "mean", "blocks", "settle", "period")),
    *(f"{SIMULATION}/{name}.py" for name in ("answers", "grid", "from_press", "native_march")),
    *(f"filmsplit/ink/{name}.py" for name in ("splitting", "feed", "transfer")),
    f"{SIMULATION}/kernel/marching.h",
)
FIRST = ("twins", "chain", "form_rollers", "orders", "random_trains", "settled", "conservation", "ink_laws", "answers")
"""Test files that notice most come first: a run ends with the first red test."""

NOT_RUN = ("mutants", "kernel", "bands", "sensitivity", "key_response")
"""Slow, and about other things than the files above."""

LONGEST_S = 240.0
"""A change that makes the tests run for ever is noticed too."""

BINARY: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Mod: ast.FloorDiv,
    ast.FloorDiv: ast.Mod,
}
COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
CHANGED = (
    *(ast.BinOp, ast.AugAssign, ast.Compare, ast.BoolOp, ast.IfExp),
    *(ast.Constant, ast.UnaryOp, ast.Name, ast.Attribute),
)
CALLED = {"max": "min", "min": "max", "floor": "ceil", "ceil": "floor", "maximum": "minimum", "minimum": "maximum"}
IN_C = (
    ("+", "-"),
    ("-", "+"),
    ("*", "+"),
    ("<", "<="),
    (">", ">="),
    ("0", "1"),
    ("1", "2"),
    ("==", "!="),
    ("rest", "share"),
)


@dataclass(frozen=True)
class Mutant:
    """A changed text of one file, and what was changed."""

    file: str
    line: int
    change: str
    text: str


def mutants_of(file: str, *, most: int, rng: random.Random) -> list[Mutant]:
    """Some of the small changes of a file, none of them twice."""
    text = (SOURCE / file).read_text(encoding="utf-8")
    if file.endswith(".h"):
        every = list(_in_c(file, text))
        return rng.sample(every, min(most, len(every)))
    nodes = [n for n, node in enumerate(ast.walk(ast.parse(text))) if isinstance(node, CHANGED)]
    rng.shuffle(nodes)
    found = (_in_python(file, text, number=n, way=rng.randrange(2)) for n in nodes)
    return list(islice((mutant for mutant in found if mutant is not None), most))


def _in_python(file: str, text: str, *, number: int, way: int) -> Mutant | None:
    """The file with its ``number``-th node changed; ``None`` where there is nothing to change about it."""
    tree = ast.parse(text)
    node = list(ast.walk(tree))[number]
    before, line = ast.unparse(node), getattr(node, "lineno", 0)
    if not (_change(node, way) or _change(node, 0)):
        return None
    return Mutant(file, line, f"{before}  ->  {ast.unparse(node)}", ast.unparse(tree))


def _change(node: ast.AST, way: int) -> bool:
    """Change one node in place; ``way`` 1 is a second change of the same node. Whether there is one."""
    if way == 0:
        return _change_operator(node) or _change_value(node)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
        node.op, node.right = ast.Mult(), ast.Constant(1)  # the second operand is left out
        return True
    return False


def _change_operator(node: ast.AST) -> bool:
    if (isinstance(node, ast.BinOp) and type(node.op) in BINARY) or (
        isinstance(node, ast.AugAssign) and type(node.op) in BINARY
    ):
        node.op = BINARY[type(node.op)]()
    elif isinstance(node, ast.Compare) and type(node.ops[0]) in COMPARED:
        node.ops[0] = COMPARED[type(node.ops[0])]()
    elif isinstance(node, ast.BoolOp):
        node.op = ast.And() if isinstance(node.op, ast.Or) else ast.Or()
    elif isinstance(node, ast.IfExp):
        node.body, node.orelse = node.orelse, node.body
    else:
        return False
    return True


def _change_value(node: ast.AST) -> bool:
    if isinstance(node, ast.Constant) and isinstance(node.value, bool):
        node.value = not node.value
    elif isinstance(node, ast.Constant) and isinstance(node.value, int):
        node.value += 1
    elif isinstance(node, ast.Constant) and isinstance(node.value, float):
        node.value = node.value * 2 or 1.0
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub | ast.Not):
        node.op = ast.UAdd() if isinstance(node.op, ast.USub) else ast.Not()
        node.operand = node.operand if isinstance(node.op, ast.UAdd) else ast.UnaryOp(ast.Not(), node.operand)
    elif isinstance(node, ast.Name | ast.Attribute) and (
        name := getattr(node, "id", None) or getattr(node, "attr", "")
    ):
        if name not in CALLED:
            return False
        setattr(node, "id" if isinstance(node, ast.Name) else "attr", CALLED[name])
    else:
        return False
    return True


def _in_c(file: str, text: str) -> Iterator[Mutant]:
    for number, line in enumerate(text.split("\n"), start=1):
        if line.strip().startswith(("/*", "static", "CLONES", "typedef")) or "*/" in line:
            continue
        for old, new in IN_C:
            for found in re.finditer(rf"(?<=[\w) ]){re.escape(old)}(?=[ ;,)])", line):
                changed = line[: found.start()] + new + line[found.end() :]
                lines = text.split("\n")
                lines[number - 1] = changed
                yield Mutant(file, number, f"{line.strip()}  ->  {changed.strip()}", "\n".join(lines))


def run(mutants: list[Mutant], *, tell: Callable[[str], None]) -> list[Mutant]:
    """Those that no test noticed. Works on a copy, so that nobody's work in the checkout gets in the way."""
    survivors = []
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        for name in ("src", "tests", "tools"):
            shutil.copytree(ROOT / name, place / name, ignore=shutil.ignore_patterns("__pycache__", "*.so"))
        shutil.copy(ROOT / "pyproject.toml", place)
        if noticed := _red(place):
            raise SystemExit(f"the tests are red before anything is changed: {noticed}")
        for mutant in mutants:
            target = place / "src" / mutant.file
            right = target.read_text(encoding="utf-8")
            target.write_text(mutant.text, encoding="utf-8")
            noticed = _red(place)
            target.write_text(right, encoding="utf-8")
            survivors += [] if noticed else [mutant]
            tell(f"{mutant.file}:{mutant.line} {mutant.change}\n    {noticed or 'NOTICED BY NO TEST'}")
    return survivors


def _red(place: Path) -> str:
    """What is red against the sources in ``place``; empty where every test passes."""
    names = [path.stem.removeprefix("test_") for path in (place / "tests" / "physics").glob("test_*.py")]
    names = [*FIRST, *sorted(set(names) - {*FIRST, *NOT_RUN})]
    paths = [f"tests/physics/test_{name}.py" for name in names]
    command = [sys.executable, "-m", "pytest", "-x", "-n", "0", "-p", "no:cacheprovider", *paths]
    environment = {**os.environ, "PYTHONPATH": str(place / "src"), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(
            command, cwd=place, env=environment, capture_output=True, text=True, timeout=LONGEST_S, check=False
        )
    except subprocess.TimeoutExpired:
        return "the tests went on for ever"
    if done.returncode == 0:
        return ""
    told = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return told[-1] if told else (done.stdout + done.stderr)[-300:]


def main() -> None:
    each, seed = (int(number) for number in (sys.argv[1:3] + ["3", "1"][len(sys.argv[1:3]) :]))
    chosen = [file for file in FILES if not sys.argv[3:] or any(part in file for part in sys.argv[3:])]
    rng = random.Random(seed)
    mutants = [mutant for file in chosen for mutant in mutants_of(file, most=each, rng=rng)]
    survivors = run(mutants, tell=lambda line: print(line, flush=True))
    print(f"{len(mutants)} changes, {len(survivors)} noticed by no test")
    sys.exit(bool(survivors))


if __name__ == "__main__":
    main()
