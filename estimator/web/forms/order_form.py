"""The off-cuts on hand for an order as rows of its form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from estimator.documents.language.texts import mark
from estimator.errors import Fault
from estimator.web.forms.choice_entries import OFFCUTS
from estimator.web.forms.entries import Document
from estimator.web.forms.rows import rows_read
from estimator.web.forms.views import RowsView, rows_view

ORDER_OFFCUTS = replace(
    OFFCUTS,
    title=mark("Off-cuts on hand, from which the rails of this order may be cut"),
    hint=mark(
        "All that lie in the yard now. What one counts for may stay empty: then it is what the pricebook says an "
        "off-cut of that length is worth."
    ),
)


def offcuts_sent(form: Mapping[str, str], *, us: bool) -> list[Document]:
    """The rows of the form that are filled in."""
    document: dict[str, Any] = {}
    rows_read(form, document, ORDER_OFFCUTS, ORDER_OFFCUTS.path, us=us)
    return list(document.get(ORDER_OFFCUTS.path, ()))


def offcuts_view(listed: Document, faults: Sequence[Fault], *, us: bool) -> RowsView:
    """The rows as the form shows them, each fault at its field."""
    told = {fault.pointer: str(fault.message) for fault in reversed(faults)}
    return rows_view(ORDER_OFFCUTS, listed, lambda pointer: told.get(pointer, ""), us=us)
