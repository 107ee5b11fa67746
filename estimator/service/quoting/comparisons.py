"""Every other way to build a quoted job, by the same edition and on the same date."""

from __future__ import annotations

from estimator.comparison.records import Comparison
from estimator.service import calculations
from estimator.service.context import ServiceContext
from estimator.service.quoting.stored.quotes import WholeQuote


def compare_every_way(context: ServiceContext, whole: WholeQuote) -> Comparison:
    """The other materials, arrangements and brackets beside the quoted one; the same quote is compared once."""
    key = (whole.card.id, whole.card.version)
    kept: Comparison | None = context.comparisons.get(key)
    if kept is None:
        found: Comparison = context.calculate(calculations.compare_every_way, whole.offer.estimate)
        kept = context.comparisons[key] = found
    return kept
