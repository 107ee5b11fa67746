"""The pick list, among the papers."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.header import OrderHeader
from estimator.documents.paper import PDF, OrderForm, OrderPaper
from estimator.documents.picking.pdf import write_pick_list
from estimator.orders import CommonCut, OrderList


def _pdf(lists: Sequence[OrderList], header: OrderHeader, _together: Sequence[CommonCut]) -> bytes:
    return write_pick_list(lists, header)


PAPER = OrderPaper(
    "picking",
    ("purchasing", "crew"),
    (OrderForm("picking.pdf", "pick-list.pdf", PDF, "PDF, a page for each delivery, without prices", _pdf),),
)
