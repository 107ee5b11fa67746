"""The saw list of one job, among the papers."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.csv_text import BYTE_ORDER_MARK
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.language.texts import mark
from estimator.documents.paper import CSV, PDF, QuoteForm, QuotePaper
from estimator.documents.saw_list.csv import write_saw_csv
from estimator.documents.saw_list.pdf import write_saw_list
from estimator.documents.sawing.inches import saw_columns
from estimator.units import systems_of


def _pdf(offer: Offer, header: QuoteHeader, _edition: Edition) -> bytes:
    return write_saw_list(offer, header)


def _csv(offer: Offer, _header: QuoteHeader, _edition: Edition) -> bytes:
    """As anybody may open it, in inches too where the job reads them; the head alone without rails."""
    plan, job = offer.estimate.cut_plan, offer.estimate.job
    inches = "us" in systems_of(job.display_units)
    if plan is None:
        return ",".join(saw_columns(inches)).encode() + b"\r\n"
    return write_saw_csv(plan, job.reference, "spreadsheet", inches=inches).removeprefix(BYTE_ORDER_MARK)


PAPER = QuotePaper(
    "saw_list",
    ("shop",),
    (
        QuoteForm(
            "saw_list_pdf", "saw-list.pdf", PDF, "The saw list for the shop", mark("Saw list"), _pdf, as_built=True
        ),
        QuoteForm(
            "saw_list", "saw-list.csv", CSV, "What the saw cuts", mark("Saw list, as a table"), _csv, as_built=True
        ),
    ),
)
