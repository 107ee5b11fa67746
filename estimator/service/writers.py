"""The writers of documents, each with the same arguments."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.comparison.records import Offer
from estimator.documents.calculation.pdf import write_calculation
from estimator.documents.header import Edition, OrderHeader, QuoteHeader
from estimator.documents.order.csv import write_order_csv
from estimator.documents.order.pdf import write_order_pdf
from estimator.documents.order.ubl import write_ubl_order
from estimator.documents.order.workbook import write_order_workbook, write_orders_workbook
from estimator.documents.order_saw_list.pdf import write_order_saw_list
from estimator.documents.order_saw_list.workbook import write_order_saw_workbook
from estimator.documents.packing.pdf import write_packing_list
from estimator.documents.packing.workbook import write_packing_workbook
from estimator.documents.plan.dxf import write_plan_dxf
from estimator.documents.plan.svg import write_plan_svg
from estimator.documents.quotation.ubl import write_ubl_quotation
from estimator.documents.quote.pdf import write_quote
from estimator.documents.saw_list.pdf import write_saw_list
from estimator.documents.sawing.common_rails import write_order_saw_csv
from estimator.documents.sawing.pieces import saw_columns, write_saw_csv
from estimator.documents.setting_out.pdf import write_setting_out
from estimator.documents.workbook import write_workbook
from estimator.orders import OrderList, OrderLists
from estimator.units import systems_of

BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def workbook(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """The workbook, with cost and margin in the estimator's edition only."""
    return write_workbook(offer, header, edition)


def quote(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """The PDF for the customer, whoever asks."""
    return write_quote(offer, header)


def plan_svg(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """The plan, the same for everybody."""
    return write_plan_svg(offer, header)


def plan_dxf(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """The plan for a drawing program, the same for everybody."""
    return write_plan_dxf(offer, header)


def setting_out(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """The setting-out sheet for the crew, the same for everybody."""
    return write_setting_out(offer, header)


def calculation(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """The load calculation an engineer follows, the same for everybody."""
    return write_calculation(offer, header)


def saw_list(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """What the saw cuts, piece by piece, in inches too where the job reads them; the head alone without rails."""
    plan, job = offer.estimate.cut_plan, offer.estimate.job
    inches = "us" in systems_of(job.display_units)
    if plan is None:
        return ",".join(saw_columns(inches)).encode() + b"\r\n"
    return write_saw_csv(plan, job.reference, "spreadsheet", inches=inches).removeprefix(BYTE_ORDER_MARK)


def saw_list_pdf(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """The saw list for the shop; never a price."""
    return write_saw_list(offer, header)


def quotation(offer: Offer, header: QuoteHeader, edition: Edition) -> bytes:
    """The electronic quotation, the same for everybody."""
    return write_ubl_quotation(offer.estimate, header)


def order_csv(lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    """All suppliers' lines as anybody may open them: what a spreadsheet would run is inert; no byte order mark."""
    return order_csv_for_spreadsheets(lists, header).removeprefix(BYTE_ORDER_MARK)


def order_csv_for_spreadsheets(lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    """The same with the byte order mark by which a spreadsheet knows UTF-8."""
    return BYTE_ORDER_MARK + _joined([write_order_csv(each, header, "spreadsheet") for each in lists])


def order_csv_for_machines(lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    """The same with every value as it is, for programs. Refuses ids that begin like a formula."""
    return _joined([write_order_csv(each, header) for each in lists])


def _joined(parts: Sequence[bytes]) -> bytes:
    """Several tables under one row of column names; each line names its supplier."""
    if not parts:
        return b""
    plain = [part.removeprefix(BYTE_ORDER_MARK) for part in parts]
    names, _, _ = plain[0].partition(b"\r\n")
    return names + b"\r\n" + b"".join(part.partition(b"\r\n")[2] for part in plain)


def order_workbook(lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    """One supplier's workbook, or a sheet for each of several suppliers."""
    return write_order_workbook(lists[0], header) if len(lists) == 1 else write_orders_workbook(lists, header)


def whole_order_workbook(lists: OrderLists, header: OrderHeader) -> bytes:
    """All suppliers' orders; where rails are cut together, their cut plan and saw list behind them."""
    if any(common.used for common in lists.together):
        return write_orders_workbook(lists.lists, header, lists.together)
    return order_workbook(lists.lists, header)


def order_saw_csv(lists: OrderLists, header: OrderHeader) -> bytes:
    """The saw list of rails cut together, as anybody may open it: what a spreadsheet would run is inert."""
    return write_order_saw_csv(lists.together, "spreadsheet").removeprefix(BYTE_ORDER_MARK)


def order_saw_workbook(lists: OrderLists, header: OrderHeader) -> bytes:
    """The saw list of rails cut together as a workbook; never a price."""
    return write_order_saw_workbook(lists.together, header)


def order_saw_pdf(lists: OrderLists, header: OrderHeader) -> bytes:
    """The saw list of rails cut together for the shop; never a price."""
    return write_order_saw_list(lists.together, header)


def ubl_order(order: OrderList, header: OrderHeader) -> bytes:
    """One supplier's electronic order."""
    return write_ubl_order(order, header)


def order_pdf(order: OrderList, header: OrderHeader) -> bytes:
    """One supplier's order on paper."""
    return write_order_pdf(order, header)


def packing_list(lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    """What is in which package, a shipment for each supplier; never a price."""
    return write_packing_list(lists, header)


def packing_workbook(lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    """The packing list as a workbook; never a price."""
    return write_packing_workbook(lists, header)
