"""Every paper, once. Addresses, links, answers by Accept, the command line and README's table are made of this list.

A new paper is a folder that hands out its ``PAPER``, and a line here. Where two forms have one media type, the first of
them is what Accept gives.
"""

from __future__ import annotations

from estimator.documents import (
    calculation,
    order,
    order_saw_list,
    packing,
    picking,
    plan,
    quotation,
    quote,
    reactions,
    saw_list,
    setting_out,
    workbook,
)
from estimator.documents.paper import OrderForm, OrderPaper, QuoteForm, QuotePaper
from estimator.orders import Delivery

QUOTE_PAPERS: tuple[QuotePaper, ...] = (
    workbook.PAPER,
    quote.PAPER,
    plan.PAPER,
    setting_out.PAPER,
    calculation.PAPER,
    reactions.PAPER,
    saw_list.PAPER,
    quotation.PAPER,
)
ORDER_PAPERS: tuple[OrderPaper, ...] = (order.PAPER, packing.PAPER, picking.PAPER, order_saw_list.PAPER)

QUOTE_FORMS: dict[str, QuoteForm] = {form.name: form for paper in QUOTE_PAPERS for form in paper.forms}
DELIVERY_FILES = ("pick-list.pdf", "pick-list.xlsx", "packing-list.pdf", "packing-list.xlsx")
"""Papers of an order that each delivery has of its own."""
ORDER_FORMS: dict[str, OrderForm] = {form.name: form for paper in ORDER_PAPERS for form in paper.forms}


def files_of_delivery(delivery: Delivery) -> tuple[str, ...]:
    """The files that one delivery has: a pick list always, a packing list where a supplier sends something."""
    own = {form.file for form in ORDER_FORMS.values() if form.write_delivery is not None}
    return tuple(file for file in DELIVERY_FILES if file in own or delivery.lists)
