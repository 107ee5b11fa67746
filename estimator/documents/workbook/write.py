"""The workbook of a quote, sheet by sheet."""

from __future__ import annotations

from openpyxl.workbook.protection import WorkbookProtection

from estimator.comparison.records import Offer
from estimator.documents import style
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.workbook.draft import Draft, new_draft
from estimator.documents.workbook.pricing.added_sheet import write_added
from estimator.documents.workbook.pricing.customer_sheet import write_customer_pricing
from estimator.documents.workbook.pricing.price_lists import write_price_lists
from estimator.documents.workbook.pricing.sheet import write_pricing
from estimator.documents.workbook.sheets.costs.derivation import write_derivation
from estimator.documents.workbook.sheets.costs.freight import write_freight
from estimator.documents.workbook.sheets.costs.labour import write_labour
from estimator.documents.workbook.sheets.costs.materials import write_materials
from estimator.documents.workbook.sheets.costs.order import write_orders
from estimator.documents.workbook.sheets.costs.takeoff import takeoff_heads, write_takeoff
from estimator.documents.workbook.sheets.cutting.cut_plan import write_cut_plan
from estimator.documents.workbook.sheets.cutting.saw_list import write_saw_list
from estimator.documents.workbook.sheets.engineering.checks import write_checks
from estimator.documents.workbook.sheets.engineering.loads import write_loads
from estimator.documents.workbook.sheets.engineering.reactions import write_reactions
from estimator.documents.workbook.sheets.engineering.setting_out import write_setting_out
from estimator.documents.workbook.sheets.inputs import write_inputs
from estimator.documents.workbook.sheets.options import write_options
from estimator.documents.workbook.sheets.provenance import write_provenance
from estimator.documents.workbook.sheets.summary import write_summary
from estimator.documents.xlsx.cached_values import saved_workbook
from estimator.errors import Fault, NothingToWrite
from estimator.sentences import say


def write_workbook(offer: Offer, header: QuoteHeader, edition: Edition = "estimator") -> bytes:
    """The quote as a workbook (XLSX).

    Args:
        offer: the estimate and its comparison.
        header: the quote's head; its date dates the file.
        edition: ``estimator`` with cost and margin, live and to be edited; ``customer`` with neither.

    Every formula's cell already holds the engine's own figure. The same offer and head give the same bytes.

    """
    draft = drafted(offer, header, edition)
    return saved_workbook(draft.workbook, draft.values, header.dated)


def drafted(offer: Offer, header: QuoteHeader, edition: Edition) -> Draft:
    """The whole workbook before it is saved; the round trip reads from it where the inputs stand."""
    if not offer.estimate.bill.lines:
        raise NothingToWrite(
            say("a quote without any line has no workbook"), [Fault("/line_changes", say("every line is struck"))]
        )
    draft = new_draft(offer, header, edition)
    first = draft.workbook.worksheets[0]
    if edition == "estimator":
        _write_estimators(draft)
    else:
        _write_customers(draft)
    write_provenance(draft)
    draft.workbook.remove(first)
    draft.workbook.active = 0
    draft.workbook.calculation.fullCalcOnLoad = True
    draft.workbook.security = WorkbookProtection(lockStructure=True)
    return draft


def _write_estimators(draft: Draft) -> None:
    """Everything, cost and margin included. Sheets stand in the order they are opened here."""
    t = draft.t
    summary = draft.page(t("Summary"), style.BLUE)
    pricing = draft.page(t("Pricing"), style.OCHRE)
    added_page = draft.page(t("Added parts"), style.OCHRE)
    write_options(draft)
    takeoff = draft.page(t("Takeoff"), style.BLUE)
    derivation = write_derivation(draft, draft.page(t("Derivation")))
    write_materials(draft)
    write_cut_plan(draft)
    write_saw_list(draft)
    order_page = draft.page(t("Order list"))
    write_setting_out(draft)
    write_loads(draft)
    write_reactions(draft)
    lists = write_price_lists(draft)
    heads, _ = write_pricing(draft, pricing, lists)
    added = write_added(draft, added_page, lists)
    write_takeoff(draft, takeoff, heads, derivation)
    write_freight(draft, takeoff_heads(draft), added)
    write_labour(draft)
    write_orders(draft, order_page, heads, lists)
    write_checks(draft)
    write_inputs(draft)
    write_summary(draft, summary, heads)


def _write_customers(draft: Draft) -> None:
    """What the customer may see: no cost, no margin, no supplier, nothing to be filled in."""
    t = draft.t
    summary = draft.page(t("Summary"), style.BLUE)
    heads = write_customer_pricing(draft, draft.page(t("Pricing"), style.BLUE))
    write_options(draft)
    write_materials(draft)
    write_setting_out(draft)
    write_loads(draft)
    write_reactions(draft)
    write_checks(draft)
    write_summary(draft, summary, heads)
