"""The reactions, among the papers."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.language.texts import mark
from estimator.documents.paper import PDF, QuoteForm, QuotePaper
from estimator.documents.reactions.pdf import write_reactions


def _write(offer: Offer, header: QuoteHeader, _edition: Edition) -> bytes:
    return write_reactions(offer, header)


PAPER = QuotePaper(
    "reactions",
    ("engineer", "customer"),
    (
        QuoteForm(
            "reactions",
            "reactions.pdf",
            PDF,
            "What the array puts on the building",
            mark("Reactions for the engineer of the structure"),
            _write,
            as_built=True,
        ),
    ),
)
