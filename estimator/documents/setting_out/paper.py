"""The setting-out sheet, among the papers."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.language.texts import mark
from estimator.documents.paper import PDF, QuoteForm, QuotePaper
from estimator.documents.setting_out.pdf import write_setting_out


def _write(offer: Offer, header: QuoteHeader, _edition: Edition) -> bytes:
    return write_setting_out(offer, header)


PAPER = QuotePaper(
    "setting_out",
    ("crew",),
    (
        QuoteForm(
            "setting_out",
            "setting-out.pdf",
            PDF,
            "The setting-out sheet",
            mark("Setting-out for the crew"),
            _write,
            as_built=True,
        ),
    ),
)
