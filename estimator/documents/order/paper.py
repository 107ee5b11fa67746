"""The order of one supplier, or of all of them, among the papers."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.csv_text import BYTE_ORDER_MARK, Profile
from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import mark
from estimator.documents.order.csv import write_order_csv
from estimator.documents.order.pdf import write_order_pdf
from estimator.documents.order.ubl import write_ubl_order
from estimator.documents.order.workbook import write_order_workbook, write_orders_workbook
from estimator.documents.paper import CSV, PDF, XLSX, XML, OrderForm, OrderPaper
from estimator.orders import CommonCut, OrderList, OrderLists, deliveries_of
from estimator.pricebook import POINTS, BookLocale
from estimator.units import DisplayUnits

Lists = Sequence[OrderList]
Together = Sequence[CommonCut]


def _csv(lists: Lists, header: OrderHeader, _together: Together) -> bytes:
    """All suppliers' lines as anybody may open them: what a spreadsheet would run is inert; no byte order mark."""
    return _joined(lists, header, "spreadsheet")


def _spreadsheet_csv(lists: Lists, header: OrderHeader, _together: Together) -> bytes:
    """As a double click opens it in the country of the book: its signs, a byte order mark, the jobs' units."""
    signs = lists[0].locale if lists else POINTS
    units = lists[0].units if lists else "metric"
    return BYTE_ORDER_MARK + _joined(lists, header, "spreadsheet", signs, units)


def _machine_csv(lists: Lists, header: OrderHeader, _together: Together) -> bytes:
    """Every value as it is, for programs. Refuses ids that begin like a formula."""
    return _joined(lists, header, "machine")


def _joined(
    lists: Lists, header: OrderHeader, profile: Profile, signs: BookLocale = POINTS, units: DisplayUnits = "metric"
) -> bytes:
    """Several tables under one row of column names; each line names its supplier."""
    written = (
        write_order_csv(each, header, profile, signs.list_separator, signs.decimal_sign, units).removeprefix(
            BYTE_ORDER_MARK
        )
        for each in lists
    )
    parts = list(written)
    if not parts:
        return b""
    names, _, _ = parts[0].partition(b"\r\n")
    return names + b"\r\n" + b"".join(part.partition(b"\r\n")[2] for part in parts)


def _workbook(lists: Lists, header: OrderHeader, together: Together) -> bytes:
    """One supplier's workbook, or a sheet for each of several; where rails are cut together, their saw list too."""
    if len(lists) == 1 and not any(common.used for common in together):
        return write_order_workbook(lists[0], header)
    return write_orders_workbook(lists, header, together)


def _whole_workbook(whole: OrderLists, header: OrderHeader) -> bytes:
    """Purchasing's own: a sheet for each supplier, the saw list of rails cut together, each delivery's pick list."""
    return write_orders_workbook(whole.lists, header, whole.together, (deliveries_of(whole.moving), whole))


def _pdf(lists: Lists, header: OrderHeader, _together: Together) -> bytes:
    return write_order_pdf(lists[0], header)


def _ubl(lists: Lists, header: OrderHeader, _together: Together) -> bytes:
    return write_ubl_order(lists[0], header)


PAPER = OrderPaper(
    "order",
    ("purchasing",),
    (
        OrderForm("csv", "order-list.csv", CSV, "CSV (RFC 4180)", mark("Order list, as a table"), _csv, early=True),
        OrderForm(
            "xlsx",
            "order-list.xlsx",
            XLSX,
            "a workbook",
            mark("Order list, as a workbook"),
            _workbook,
            early=True,
            write_whole=_whole_workbook,
        ),
        OrderForm(
            "xml",
            "order-list.xml",
            XML,
            "a UBL 2.1 order",
            mark("Order for programs (UBL)"),
            _ubl,
            to_one="an electronic order",
        ),
        OrderForm("pdf", "order-list.pdf", PDF, "PDF", mark("Order list"), _pdf, to_one="an order on paper"),
        OrderForm(
            "machine.csv",
            "order-list-machine.csv",
            CSV,
            "CSV as it is",
            mark("Order list, as a table for programs"),
            _machine_csv,
        ),
        OrderForm(
            "office.csv",
            "order-list-spreadsheet.csv",
            CSV,
            "CSV",
            mark("Order list, as a table for spreadsheets"),
            _spreadsheet_csv,
        ),
    ),
)
