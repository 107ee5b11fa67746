"""Every other way to build a quoted job, by the same edition and on the same date."""

from __future__ import annotations

from estimator.comparison.compare import compare_everything
from estimator.comparison.records import Comparison
from estimator.service.stored_quotes import WholeQuote

_kept: dict[tuple[str, int], Comparison] = {}
KEPT = 32


def compare_every_way(whole: WholeQuote) -> Comparison:
    """The other materials, arrangements and brackets beside the quoted one; the same quote is compared once."""
    mark = (whole.card.id, whole.card.version)
    if mark not in _kept:
        estimate = whole.offer.estimate
        aim = (estimate.job, estimate.book, estimate.wishes, estimate.provenance.priced_on)
        while len(_kept) >= KEPT:
            _kept.pop(next(iter(_kept)), None)
        _kept[mark] = compare_everything(estimate, aim)
    return _kept[mark]
