"""The order for a roller, on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path

from filmsplit.actions.register import Daybook, looking, meant
from filmsplit.condition.orders import Order
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import label
from filmsplit.reports.order_sheet import OrderSheet, order_sheet_pdf
from filmsplit.reports.typeset import Paper


def write_order(order: Order, to: Path, *, book: Daybook, paper: Paper = Paper.A4, over: bool = False) -> None:
    """Write the order sheet. One that cannot be made as written is written too, and says on top not to send it."""
    with looking(book) as connection:
        invented = meant(connection, order.roller, day=book.day).invented
    write_file(to, order_sheet_pdf(order_sheet(order, invented=invented), paper=paper), over=over)


def order_sheet(order: Order, *, invented: bool) -> OrderSheet:
    """What the sheet shows of an order."""
    return OrderSheet(
        roller=order.roller,
        role="" if order.role is None else order.role.value,
        invented=invented,
        rows=tuple(_rows(order)),
        missing=tuple(label(f"order.{name}") for name in order.missing),
        stands_against=tuple(f"{each.what} {each.remedy}" for each in order.problems),
    )


def _rows(order: Order) -> Iterator[tuple[str, str]]:
    for field in fields(order.drawing):
        value = getattr(order.drawing, field.name)
        if value not in (None, ""):
            shown = f"{value:g}" if isinstance(value, float) else str(getattr(value, "value", value))
            yield label(f"order.{field.name}"), shown
    for name, said in (("inks", ", ".join(order.duty.inks)), ("wash", order.duty.wash)):
        if said:
            yield label(f"order.{name}"), said
