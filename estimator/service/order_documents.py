"""An order list on paper: the whole list, or one supplier's."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from estimator.documents.header import OrderHeader
from estimator.errors import Conflict, NotFound
from estimator.orders import OrderList, OrderLists
from estimator.service import writers
from estimator.service.documents import XLSX
from estimator.service.order_lists import StoredOrderList


@dataclass(frozen=True, slots=True)
class Form:
    """One form of an order list: one supplier's, the whole, or both.

    ``write`` takes one or more suppliers' lists, or refuses more than one; None where there is nothing of one supplier.
    ``whole`` writes the whole list where that is more than its suppliers' lists one after the other.
    """

    name: str
    media: str
    about: str
    write: Callable[[Sequence[OrderList], OrderHeader], bytes] | None
    stem: str = "order-list"
    whole: Callable[[OrderLists, OrderHeader], bytes] | None = None

    @property
    def ending(self) -> str:
        """The file's ending."""
        return self.name.rpartition(".")[2]


def _electronic(lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    return writers.ubl_order(_the_one(lists, "an electronic order"), header)


def _on_paper(lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    return writers.order_pdf(_the_one(lists, "an order on paper"), header)


def _the_one(lists: Sequence[OrderList], what: str) -> OrderList:
    if len(lists) != 1:
        names = ", ".join(each.supplier.supplier for each in lists) or "none"
        raise Conflict(f"{what} goes to one supplier; ask for one of: {names}")
    return lists[0]


FORMS: dict[str, Form] = {
    form.name: form
    for form in (
        Form("csv", "text/csv", "CSV (RFC 4180)", writers.order_csv),
        Form("xlsx", XLSX, "a workbook", writers.order_workbook, whole=writers.whole_order_workbook),
        Form("xml", "application/xml", "a UBL 2.1 order", _electronic),
        Form("pdf", "application/pdf", "PDF", _on_paper),
        Form("machine.csv", "text/csv", "CSV as it is", writers.order_csv_for_machines, "order-list-machine"),
        Form("office.csv", "text/csv", "CSV", writers.order_csv_for_spreadsheets, "order-list-spreadsheet"),
        Form("packing.pdf", "application/pdf", "PDF, without prices", writers.packing_list, "packing-list"),
        Form("packing.xlsx", XLSX, "a workbook, without prices", writers.packing_workbook, "packing-list"),
        Form("saw.pdf", "application/pdf", "PDF, rails cut together", None, "saw-list", writers.order_saw_pdf),
        Form("saw.xlsx", XLSX, "a workbook, rails cut together", None, "saw-list", writers.order_saw_workbook),
        Form("saw.csv", "text/csv", "CSV (RFC 4180), rails cut together", None, "saw-list", writers.order_saw_csv),
    )
}


def write(kept: StoredOrderList, supplier: str | None, form: Form) -> tuple[str, bytes]:
    """A file's name and bytes.

    Errors: NotFound for a supplier the list does not hold; Conflict for a form the list does not have.
    """
    lists = [each for each in kept.lists.lists if supplier in (None, each.supplier.supplier)]
    if supplier is not None and not lists:
        raise NotFound("no such supplier on this list")
    name = f"{kept.number if supplier is None else f'{kept.number}-{supplier}'}-{form.stem}.{form.ending}"
    if supplier is None and form.whole is not None:
        return name, form.whole(kept.lists, kept.header)
    if form.write is None:
        raise NotFound("the saw list is of the whole order")
    return name, form.write(lists, kept.header)
