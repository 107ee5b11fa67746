"""The electronic quotation, among the papers."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.language.texts import mark
from estimator.documents.paper import XML, QuoteForm, QuotePaper
from estimator.documents.quotation.ubl import write_ubl_quotation


def _write(offer: Offer, header: QuoteHeader, _edition: Edition) -> bytes:
    return write_ubl_quotation(offer, header)


PAPER = QuotePaper(
    "quotation",
    ("customer",),
    (
        QuoteForm(
            "quotation",
            "quotation.xml",
            XML,
            "The quotation as UBL 2.1",
            mark("Quotation for programs (UBL)"),
            _write,
            as_built=True,
        ),
    ),
)
