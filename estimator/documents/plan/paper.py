"""The plan of the roofs, among the papers."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.language.texts import mark
from estimator.documents.paper import QuoteForm, QuotePaper
from estimator.documents.plan.dxf import write_plan_dxf
from estimator.documents.plan.svg import write_plan_svg


def _svg(offer: Offer, header: QuoteHeader, _edition: Edition) -> bytes:
    return write_plan_svg(offer, header)


def _dxf(offer: Offer, header: QuoteHeader, _edition: Edition) -> bytes:
    return write_plan_dxf(offer, header)


PAPER = QuotePaper(
    "plan",
    ("customer", "crew"),
    (
        QuoteForm(
            "plan_svg",
            "plan.svg",
            "image/svg+xml",
            "The plan of the roofs",
            mark("Plan, as a picture"),
            _svg,
            link="plan",
            as_built=True,
        ),
        QuoteForm(
            "plan_dxf",
            "plan.dxf",
            "image/vnd.dxf",
            "The plan for a drawing program",
            mark("Plan, for a drawing program"),
            _dxf,
            link="drawing",
            as_built=True,
        ),
    ),
)
