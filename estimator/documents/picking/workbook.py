"""The pick list as a workbook: a sheet for each delivery; never a price."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.header import OrderHeader
from estimator.documents.purchasing.book import OrderBook
from estimator.documents.purchasing.facts import house_paper, house_reader
from estimator.documents.purchasing.pick_sheets import write_pick_sheets
from estimator.errors import NothingToWrite
from estimator.orders import Delivery, OrderList
from estimator.sentences import say

NOTHING = say("there is nothing to deliver, or the order was made before sites were kept with it")


def write_pick_workbook(deliveries: Sequence[Delivery], lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    """A sheet for each delivery; ``lists`` are those of the order, whose first heads the sheets.

    The same deliveries and head give the same bytes. Refuses (NothingToWrite) none.
    """
    if not deliveries:
        raise NothingToWrite(NOTHING)
    first = lists[0]
    reader = house_reader(first, header)
    title = f"{reader.texts.t('Pick list')} {header.number}"
    book = OrderBook(title, first.buyer.name, reader, house_paper(first, header))
    write_pick_sheets(book, deliveries, first, header)
    return book.saved(header.dated)
