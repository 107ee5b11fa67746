"""A workbook that an estimator sends back: its changes read, checked, and made a revision with each change named."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from estimator.documents.workbook_reading import WorkbookChanges, read_workbook
from estimator.errors import ChoiceRefused, Refused
from estimator.job import Wishes
from estimator.service.stored_quotes import WholeQuote


def changes_in(content: bytes, whole: WholeQuote) -> WorkbookChanges:
    """Every change in the workbook of a quote.

    Refuses a broken file, one of another quote or of an older revision, entries that cannot be taken (all at once), and
    a workbook in which nothing was changed.
    """
    changes = read_workbook(content, whole.offer, whole.header)
    if changes.faults:
        raise ChoiceRefused("the workbook holds entries that cannot be taken", changes.faults)
    if not changes.changes:
        raise Refused("nothing that may be changed was changed in the workbook")
    return changes


def choices_with(choices: Mapping[str, Any] | None, before: Wishes, changes: WorkbookChanges) -> dict[str, Any]:
    """The choices of the quote, as they were posted, with the workbook's changes laid over them."""
    wishes = changes.applied(before)
    laid: dict[str, Any] = dict(choices or {})
    for name in ("margin", "discount", "contingency"):
        rate = getattr(wishes, name)
        if rate is not None:
            laid[name] = f"{rate:f}"
    laid["freight"], laid["labour"] = wishes.freight, wishes.labour
    laid["line_discounts"] = {part: f"{rate:f}" for part, rate in wishes.line_discounts}
    laid["line_changes"] = [
        {
            "part": line.part,
            "ordered": line.ordered,
            "unit_price": None if line.unit_price is None else f"{line.unit_price:f}",
            "struck": line.struck,
            "reason": line.reason,
        }
        for line in wishes.line_changes
    ]
    return laid
