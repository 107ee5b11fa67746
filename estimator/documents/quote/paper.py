"""The quote for the customer, among the papers."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.language.texts import mark
from estimator.documents.paper import PDF, QuoteForm, QuotePaper
from estimator.documents.quote.pdf import write_quote


def _write(offer: Offer, header: QuoteHeader, _edition: Edition) -> bytes:
    return write_quote(offer, header)


PAPER = QuotePaper(
    "quote",
    ("customer",),
    (
        QuoteForm(
            "quote_pdf",
            "quote.pdf",
            PDF,
            "The quote for the customer",
            mark("Quote for the customer"),
            _write,
            link="quote",
        ),
    ),
)
