"""The saw list of an order as a workbook; never a price."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.header import OrderHeader
from estimator.documents.purchasing.book import OrderBook
from estimator.documents.purchasing.saw_sheets import write_saw_sheets
from estimator.documents.sawing.common_rails import sawn_rails
from estimator.documents.sawing.common_words import saw_paper, saw_reader
from estimator.orders import CommonCut


def write_order_saw_workbook(together: Sequence[CommonCut], header: OrderHeader) -> bytes:
    """The saw list of an order as XLSX, without prices; the same plans and head give the same bytes.

    Refuses (Conflict) an order with nothing cut together.
    """
    rails = sawn_rails(together)
    reader = saw_reader(rails, header)
    title = reader.texts.t("Saw list for order {number}", number=header.number)
    book = OrderBook(title, rails[0].sheet.house.name, reader, saw_paper(rails, header))
    write_saw_sheets(book, rails, header, costs=False)
    return book.saved(header.dated)
