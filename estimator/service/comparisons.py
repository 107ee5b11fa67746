"""Every other way to build a quoted job, by the same edition and on the same date."""

from __future__ import annotations

from estimator.comparison.compare import compare_everything
from estimator.comparison.records import Comparison
from estimator.pricing.rail_offers import without_offcuts
from estimator.service.context import ServiceContext
from estimator.service.stored_quotes import WholeQuote


def compare_every_way(context: ServiceContext, whole: WholeQuote) -> Comparison:
    """The other materials, arrangements and brackets beside the quoted one; the same quote is compared once."""
    key = (whole.card.id, whole.card.version)
    kept: Comparison | None = context.comparisons.get(key)
    if kept is None:
        estimate = whole.offer.estimate
        aim = (estimate.job, without_offcuts(estimate.book), estimate.wishes, estimate.provenance.priced_on)
        kept = context.comparisons[key] = compare_everything(estimate, aim, context.searches)
    return kept
