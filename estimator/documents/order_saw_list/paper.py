"""The saw list of rails cut from common bars, among the papers; always of the whole order."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.csv_text import BYTE_ORDER_MARK
from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import mark
from estimator.documents.order_saw_list.csv import write_order_saw_csv
from estimator.documents.order_saw_list.pdf import write_order_saw_list
from estimator.documents.order_saw_list.workbook import write_order_saw_workbook
from estimator.documents.paper import CSV, PDF, XLSX, OrderForm, OrderPaper
from estimator.orders import CommonCut, OrderList

Lists = Sequence[OrderList]
Together = Sequence[CommonCut]


def _pdf(lists: Lists, header: OrderHeader, together: Together) -> bytes:
    return write_order_saw_list(together, header, [site for each in lists for site in each.sites])


def _workbook(_lists: Lists, header: OrderHeader, together: Together) -> bytes:
    return write_order_saw_workbook(together, header)


def _csv(_lists: Lists, _header: OrderHeader, together: Together) -> bytes:
    """As anybody may open it: what a spreadsheet would run is inert."""
    return write_order_saw_csv(together, "spreadsheet").removeprefix(BYTE_ORDER_MARK)


PAPER = OrderPaper(
    "order_saw_list",
    ("shop",),
    tuple(
        OrderForm(f"saw.{ending}", f"saw-list.{ending}", media, f"{about}, rails cut together", title, write,
                  of_supplier=False, link=f"saw_list_{ending}")
        for ending, media, about, title, write in (
            ("pdf", PDF, "PDF", mark("Saw list over all jobs"), _pdf),
            ("xlsx", XLSX, "a workbook", mark("Saw list over all jobs, as a workbook"), _workbook),
            ("csv", CSV, "CSV (RFC 4180)", mark("Saw list over all jobs, as a table"), _csv),
        )
    ),
)  # fmt: skip
