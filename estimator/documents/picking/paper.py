"""The pick list, among the papers."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.header import OrderHeader
from estimator.documents.paper import PDF, XLSX, OrderForm, OrderPaper
from estimator.documents.picking.pdf import write_pick_list
from estimator.documents.picking.workbook import write_pick_workbook
from estimator.orders import CommonCut, OrderList


def _pdf(lists: Sequence[OrderList], header: OrderHeader, _together: Sequence[CommonCut]) -> bytes:
    return write_pick_list(lists, header)


def _xlsx(lists: Sequence[OrderList], header: OrderHeader, _together: Sequence[CommonCut]) -> bytes:
    return write_pick_workbook(lists, header)


PAPER = OrderPaper(
    "picking",
    ("purchasing", "crew"),
    (
        OrderForm("picking.pdf", "pick-list.pdf", PDF, "PDF, a page for each delivery, without prices", _pdf),
        OrderForm("picking.xlsx", "pick-list.xlsx", XLSX, "a workbook, a sheet a delivery, without prices", _xlsx),
    ),
)
