"""Every field of the press description explains itself: help, unit, range, and where an assumed value comes from."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from enum import Enum
from importlib import import_module
from typing import Any

import pytest

from filmsplit.press.contacts import CYLINDER_IDS
from filmsplit.press.rows import ByRole, Row, SameAs
from filmsplit.press.words import Role
from house.source import modules

UNIT_OF_SUFFIX = {
    "mm": "mm",
    "um": "µm",
    "mpa": "MPa",
    "deg": "deg",
    "rev": "rev",
    "kg": "kg",
    "shore_a": "Shore A",
}
"""One unit per quantity, in the name: this project's own rule."""


@dataclasses.dataclass(frozen=True)
class Field:
    """A field of the description with its row."""

    owner: str
    name: str
    row: Row

    def __str__(self) -> str:
        return f"{self.owner}.{self.name}"


def _fields() -> Iterator[Field]:
    for module in modules():
        if module.package != "press" or module.name == "press/__init__.py":
            continue
        python_module = import_module("filmsplit." + module.name.removesuffix(".py").replace("/", "."))
        for record in vars(python_module).values():
            if dataclasses.is_dataclass(record) and getattr(record, "__module__", "") == python_module.__name__:
                for each in dataclasses.fields(record):
                    if isinstance(each.metadata.get("row"), Row):
                        yield Field(getattr(record, "__name__", ""), each.name, each.metadata["row"])


FIELDS = list(_fields())


def test_the_description_has_rows() -> None:
    assert len(FIELDS) > 60


@pytest.mark.parametrize("field", FIELDS, ids=str)
def test_a_row_explains_its_field(field: Field) -> None:
    assert field.row.help
    assert not field.row.help.endswith("."), "a phrase, it stands in tables"


@pytest.mark.parametrize("field", FIELDS, ids=str)
def test_a_row_has_the_unit_its_name_says(field: Field) -> None:
    said = _suffix(field.name)
    assert field.row.unit == ("" if said is None else UNIT_OF_SUFFIX[said])


def _suffix(name: str) -> str | None:
    """The unit in a name, also before what it is counted by: ``film_um_per_division``."""
    quantity = name.partition("_per_")[0]
    found = [suffix for suffix in UNIT_OF_SUFFIX if quantity == suffix or quantity.endswith("_" + suffix)]
    return found[0] if found else None


@pytest.mark.parametrize("field", [each for each in FIELDS if each.row.low is not None], ids=str)
def test_a_range_is_a_range_and_holds_what_is_assumed(field: Field) -> None:
    low, high = field.row.low, field.row.high
    assert low is not None
    assert high is not None
    assert low < high
    for value in _assumed(field.row.assumed):
        if isinstance(value, int | float):
            assert low <= value <= high


@pytest.mark.parametrize("field", [each for each in FIELDS if each.row.unit], ids=str)
def test_a_quantity_has_a_range(field: Field) -> None:
    assert field.row.low is not None, "a typing slip must be caught"


@pytest.mark.parametrize("field", [each for each in FIELDS if each.row.assumed is not None], ids=str)
def test_an_assumption_has_a_source(field: Field) -> None:
    assert field.row.source
    assert not field.row.required, "what is required is never assumed"


@pytest.mark.parametrize("field", [each for each in FIELDS if isinstance(each.row.assumed, ByRole)], ids=str)
def test_an_assumption_by_role_names_roles(field: Field) -> None:
    assert set(field.row.assumed.values) <= {*(role.value for role in Role), *CYLINDER_IDS}


def _assumed(assumed: Any) -> list[Any]:
    if isinstance(assumed, ByRole):
        return [*assumed.values.values(), assumed.otherwise]
    return [] if assumed is None or isinstance(assumed, SameAs | Enum) else [assumed]
