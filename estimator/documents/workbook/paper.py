"""The workbook of a quote, among the papers: cost and margin in the estimator's edition only."""

from __future__ import annotations

from estimator.documents.language.texts import mark
from estimator.documents.paper import XLSX, QuoteForm, QuotePaper
from estimator.documents.workbook.write import write_workbook

PAPER = QuotePaper(
    "workbook",
    ("estimator", "customer"),
    (
        QuoteForm(
            "workbook",
            "workbook.xlsx",
            XLSX,
            "The quote as a workbook",
            mark("Workbook"),
            write_workbook,
            editions=True,
        ),
    ),
)
