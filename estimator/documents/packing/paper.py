"""The packing list, among the papers."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import mark
from estimator.documents.packing.pdf import write_packing_list
from estimator.documents.packing.workbook import write_packing_workbook
from estimator.documents.paper import PDF, XLSX, OrderForm, OrderPaper
from estimator.orders import CommonCut, OrderList


def _pdf(lists: Sequence[OrderList], header: OrderHeader, _together: Sequence[CommonCut]) -> bytes:
    return write_packing_list(lists, header)


def _workbook(lists: Sequence[OrderList], header: OrderHeader, _together: Sequence[CommonCut]) -> bytes:
    return write_packing_workbook(lists, header)


PAPER = OrderPaper(
    "packing",
    ("purchasing", "crew"),
    (
        OrderForm(
            "packing.pdf",
            "packing-list.pdf",
            PDF,
            "PDF, without prices",
            mark("Packing list"),
            _pdf,
            link="packing_list",
        ),
        OrderForm(
            "packing.xlsx",
            "packing-list.xlsx",
            XLSX,
            "a workbook, without prices",
            mark("Packing list, as a workbook"),
            _workbook,
        ),
    ),
)
