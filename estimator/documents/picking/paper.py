"""The pick list, among the papers."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import mark
from estimator.documents.paper import PDF, XLSX, OrderForm, OrderPaper
from estimator.documents.picking.pdf import write_pick_list
from estimator.documents.picking.workbook import write_pick_workbook
from estimator.orders import CommonCut, Delivery, OrderList, OrderLists, deliveries_of


def _pdf(lists: Sequence[OrderList], header: OrderHeader, _together: Sequence[CommonCut]) -> bytes:
    return write_pick_list(deliveries_of(lists), lists, header)


def _xlsx(lists: Sequence[OrderList], header: OrderHeader, _together: Sequence[CommonCut]) -> bytes:
    return write_pick_workbook(deliveries_of(lists), lists, header)


def _whole_pdf(whole: OrderLists, header: OrderHeader) -> bytes:
    return _pdf(whole.moving, header, ())


def _whole_xlsx(whole: OrderLists, header: OrderHeader) -> bytes:
    return _xlsx(whole.moving, header, ())


def _delivery_pdf(delivery: Delivery, whole: OrderLists, header: OrderHeader) -> bytes:
    return write_pick_list([delivery], whole.moving, header)


def _delivery_xlsx(delivery: Delivery, whole: OrderLists, header: OrderHeader) -> bytes:
    return write_pick_workbook([delivery], whole.moving, header)


PAPER = OrderPaper(
    "picking",
    ("purchasing", "crew"),
    (
        OrderForm(
            "picking.pdf",
            "pick-list.pdf",
            PDF,
            "PDF, a page for each delivery, without prices",
            mark("Pick list for each delivery"),
            _pdf,
            write_whole=_whole_pdf,
            write_delivery=_delivery_pdf,
        ),
        OrderForm(
            "picking.xlsx",
            "pick-list.xlsx",
            XLSX,
            "a workbook, a sheet a delivery, without prices",
            mark("Pick list for each delivery, as a workbook"),
            _xlsx,
            write_whole=_whole_xlsx,
            write_delivery=_delivery_xlsx,
        ),
    ),
)
