"""The house limits on shape: what keeps a stranger able to read any part of the code in one sitting.

The limits are this project's own (docs/decisions/0010-house-limits.md); there is no outside source for them.
"""

from __future__ import annotations

import ast
import re

import pytest

from house.source import Module, body_lines, called_name, functions, modules, where

FILE_LINES = 400
CLASS_LINES = 200
BODY_LINES = 40
USUAL_BODY_LINES = 15
USUAL_SHARE = 0.8
POSITIONAL = 3
"""The subject and two more."""
VAGUE_NAMES = {"utils", "util", "helpers", "helper", "common", "core", "manager", "base", "misc", "tools", "stuff"}
FRONTS = {"cli/main.py", "web/app.py", "formats/bounded_process.py"}
"""Where the last catch stands: nothing a person does may end in a traceback, nor a process without telling why."""


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.name)
def test_a_module_can_be_read_in_one_sitting(module: Module) -> None:
    assert module.text.count("\n") <= FILE_LINES
    too_long = [node.name for node in module.nodes(ast.ClassDef) if (node.end_lineno or 0) - node.lineno >= CLASS_LINES]
    assert not too_long, f"classes over {CLASS_LINES} lines"


def test_no_function_is_long() -> None:
    long = [where(module, node, node.name) for module, node in functions() if body_lines(node) > BODY_LINES]
    assert not long, f"bodies over {BODY_LINES} lines"


def test_four_functions_in_five_are_short() -> None:
    lengths = [body_lines(node) for _, node in functions()]
    assert sum(length <= USUAL_BODY_LINES for length in lengths) / len(lengths) >= USUAL_SHARE


def test_names_of_modules_say_what_is_in_them() -> None:
    vague = [module.name for module in modules() if VAGUE_NAMES & {*module.path.parts[-2:-1], module.path.stem}]
    assert not vague


def test_at_most_two_positional_parameters_beyond_the_subject() -> None:
    crowded = [
        where(module, node, node.name)
        for module, node in functions()
        if len(node.args.posonlyargs + node.args.args) > POSITIONAL and not _called_by_others(node)
    ]
    assert not crowded, "make the rest keyword-only"


def _called_by_others(node: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    """Commands are called by click, by keyword; double-underscore methods by Python, as it likes."""
    commands = {"command", "group", "callback"}
    decorators = (each.func if isinstance(each, ast.Call) else each for each in node.decorator_list)
    return node.name.startswith("__") or any(
        isinstance(each, ast.Attribute) and each.attr in commands for each in decorators
    )


def test_our_concrete_classes_are_not_subclassed() -> None:
    bases_of = {node.name: node.bases for module in modules() for node in module.nodes(ast.ClassDef)}
    wrong = [
        where(module, node, f"{node.name}({base.id})")
        for module in modules()
        for node in module.nodes(ast.ClassDef)
        for base in node.bases
        if isinstance(base, ast.Name) and base.id in bases_of and not _is_abstract(base.id, bases_of)
    ]
    assert not wrong


def _is_abstract(name: str, bases_of: dict[str, list[ast.expr]]) -> bool:
    bases = {ast.unparse(base).partition("[")[0].rpartition(".")[2] for base in bases_of[name]}
    return name.startswith("Abstract") or bool(bases & {"ABC", "Protocol"})


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.name)
def test_only_the_fronts_catch_everything(module: Module) -> None:
    broad = [
        where(module, handler)
        for handler in module.nodes(ast.ExceptHandler)
        if handler.type is None or {"Exception", "BaseException"} & _names(handler.type)
    ]
    assert not broad or module.name in FRONTS


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.name)
def test_what_is_raised_has_a_name_of_its_own(module: Module) -> None:
    raised = [
        where(module, node)
        for node in module.nodes(ast.Raise)
        if node.exc is not None and {"Exception", "BaseException"} & _names(_raised(node.exc))
    ]
    assert not raised


def _raised(raised: ast.expr) -> ast.expr:
    return raised.func if isinstance(raised, ast.Call) else raised


def _names(node: ast.expr) -> set[str]:
    return {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}


MAY_WRITE = {"formats", "records"}
WRITERS = {
    "write_text",
    "write_bytes",
    "mkdir",
    "unlink",
    "rename",
    "replace",
    "rmtree",
    "touch",
    "copyfile",
    "copytree",
}
PLAIN_WRITERS = WRITERS - {"replace"}
"""``replace`` is also a method of text and of dataclasses; the rest write wherever they are called."""


def test_only_formats_and_records_write_files() -> None:
    writing = [
        where(module, call, called_name(call))
        for module in modules()
        if module.package not in MAY_WRITE
        for call in module.nodes(ast.Call)
        if called_name(call) in PLAIN_WRITERS or _opens_for_writing(call)
    ]
    assert not writing


def _opens_for_writing(call: ast.Call) -> bool:
    if called_name(call) not in ("open", "fdopen"):
        return False
    modes = [*call.args, *(keyword.value for keyword in call.keywords if keyword.arg == "mode")]
    texts = [mode.value for mode in modes if isinstance(mode, ast.Constant) and isinstance(mode.value, str)]
    return any(set(text) <= set("rwxabt+") and set(text) & set("wxa+") for text in texts)


def test_what_a_person_reads_is_not_written_in_the_code() -> None:
    spoken = [
        where(module, call)
        for module in modules()
        for call in module.nodes(ast.Call)
        if called_name(call) in ("echo", "secho", "print")
        for argument in call.args
        if any(isinstance(part, ast.Constant) and _has_words(part.value) for part in _said(argument))
    ]
    assert not spoken, "use label() or a Problem"


def _said(argument: ast.expr) -> list[ast.expr]:
    return list(argument.values) if isinstance(argument, ast.JoinedStr) else [argument]


def _has_words(value: object) -> bool:
    """Letters besides the markup of rich, such as [bold]."""
    return isinstance(value, str) and len(re.findall(r"[^\W\d_]", re.sub(r"\[/?[\w ]*\]", "", value))) > 2
