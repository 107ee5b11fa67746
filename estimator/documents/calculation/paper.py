"""The load calculation, among the papers."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.calculation.pdf import write_calculation
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.language.texts import mark
from estimator.documents.paper import PDF, QuoteForm, QuotePaper


def _write(offer: Offer, header: QuoteHeader, _edition: Edition) -> bytes:
    return write_calculation(offer, header)


PAPER = QuotePaper(
    "calculation",
    ("engineer", "estimator"),
    (
        QuoteForm(
            "calculation",
            "calculation.pdf",
            PDF,
            "The load calculation",
            mark("Calculation for the engineer"),
            _write,
            as_built=True,
        ),
    ),
)
