"""Purchasing's own sheet of an order: for every line which quote requires how many, stock, dates and why."""

from __future__ import annotations

from estimator.documents.header import OrderHeader
from estimator.documents.purchasing.book import OrderBook
from estimator.documents.xlsx.looks import COUNT, TEXT, WRAPPED, Look
from estimator.documents.xlsx.numbers.figures import serial
from estimator.documents.xlsx.page import at
from estimator.documents.xlsx.tables import Column, Heads, Row, write_table
from estimator.orders import OrderLine, OrderList
from estimator.sentences import joined

TABLE = "Reasons"
DATE = Look(number_format="yyyy-mm-dd", across="center", rule="below")


def write_reasons(book: OrderBook, order: OrderList, header: OrderHeader) -> None:
    """A sheet of its own; the quantity to buy is a formula over required, stock and packs."""
    t = book.reader.texts.t
    page = book.page(t("Reasons"))
    page.head(t("Where the quantities come from"), t("For purchasing only: not part of the order."))
    placed = write_table(
        page,
        4,
        TABLE,
        _columns(book, order),
        [_row(book, each) for each in order.lines],
    )
    for row, line in enumerate(order.lines, start=placed.first):
        page.lines(row, _why(book, line), 74)
    page.sheet.freeze_panes = at(placed.first, 2)
    book.print_wide(page, 4, f"{header.number_for(order.supplier.supplier)} · {t('Reasons')}")


def _columns(book: OrderBook, order: OrderList) -> list[Column]:
    t = book.reader.texts.t
    heads = {
        "part": t("Our part number"),
        "required": t("Required"),
        "stock": t("From stock"),
        **({"before": t("On order before")} if order.changes else {}),
        "pack_size": t("Pack of"),
        "ordered": t("Quantity"),
        "lead": t("Lead time, days"),
        "order_by": t("Order by"),
        "quotes": t("For quotes"),
        "why": t("Why so many"),
    }
    names = Heads(TABLE, heads)
    buy = f"({names.this('required')}-{names.this('stock')})/{names.this('pack_size')}"
    less = f"-{names.this('before')}" if order.changes else ""
    shapes: dict[str, tuple[float, Look, str]] = {
        "part": (18, TEXT, ""),
        "required": (10, COUNT, ""),
        "stock": (11, COUNT, ""),
        "before": (10, COUNT, ""),
        "pack_size": (9, COUNT, ""),
        "ordered": (10, COUNT, f"ROUNDUP(ROUND({buy},9),0)*{names.this('pack_size')}{less}"),
        "lead": (11, COUNT, ""),
        "order_by": (13, DATE, ""),
        "quotes": (34, WRAPPED, ""),
        "why": (60, WRAPPED, ""),
    }
    return [Column(key, heads[key], *shapes[key]) for key in heads]


def _row(book: OrderBook, line: OrderLine) -> Row:
    return {
        "part": line.part,
        "required": line.required,
        "stock": line.from_stock,
        "before": line.before,
        "pack_size": line.pack_size,
        "ordered": line.ordered,
        "lead": line.lead_time_days,
        "order_by": serial(line.order_by) if line.order_by else None,
        "quotes": ", ".join(book.reader.say(share.quote) for share in line.shares),
        "why": _why(book, line),
    }


def _why(book: OrderBook, line: OrderLine) -> str:
    return book.reader.say(joined("; ", (*line.why, *line.stands)))
