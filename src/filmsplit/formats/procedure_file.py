"""Read a procedure file: steps with their press states. Everything wrong is said at once, with line and remedy."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path as FilePath

from filmsplit.formats import yaml_tree
from filmsplit.formats.press_assume import Context
from filmsplit.formats.press_fields import KIND_LINE
from filmsplit.formats.press_file import read_text
from filmsplit.formats.press_reader import read_record
from filmsplit.formats.press_reading import Reading
from filmsplit.messages import Place, Problem, Refusal
from filmsplit.procedures.procedure import Procedure
from filmsplit.procedures.validate import problems_of

KIND = "procedure 1"


def load_procedure(path: FilePath) -> Procedure:
    """Read and validate the procedure at ``path``; :class:`Refusal` with every problem if it breaks a rule."""
    return loads_procedure(read_text(path), name=str(path))


def loads_procedure(text: str, *, name: str = "procedure.yaml") -> Procedure:
    """Read and validate a procedure from text. ``name`` is what problems call the file."""
    yaml_tree.check_size(len(text.encode("utf-8", "surrogatepass")), name)
    root = yaml_tree.parse(text, name)
    reading = Reading(name)
    _check_first_line(root, name)
    procedure = read_record(reading, root, cls=Procedure, context=Context())
    if reading.problems or procedure is None:
        raise Refusal(_in_order(reading.problems))
    problems = [problem.at(_place(reading, problem.path)) for problem in problems_of(procedure)]
    if problems:
        raise Refusal(_in_order(problems))
    return procedure  # type: ignore[no-any-return]


def _check_first_line(root: yaml_tree.Node, name: str) -> None:
    entries = list(root.entries.values()) if isinstance(root, yaml_tree.Mapping) else []
    value = entries[0].value if entries and entries[0].key.text == KIND_LINE else None
    if not isinstance(value, yaml_tree.Scalar) or value.text != KIND:
        raise Refusal(Problem("procedure-file-first-line", {"line": f"{KIND_LINE}: {KIND}"}, place=Place(name, 1, 1)))


def _place(reading: Reading, path: tuple[str, ...]) -> Place:
    """The place of a step's field, or of the step."""
    while path and path not in reading.spots:
        path = path[:-1]
    spot = reading.spots.get(path)
    return Place(reading.file, spot.line, spot.column) if spot else Place(reading.file, 1, 1)


def _in_order(problems: Iterable[Problem]) -> list[Problem]:
    return sorted(problems, key=lambda each: (each.place.line, each.place.column) if each.place else (0, 0))
