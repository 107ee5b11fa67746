"""The hidden sheet that says which quote, revision and figures a workbook is of, so that it can come back."""

from __future__ import annotations

import hashlib

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.workbook.draft import Draft
from estimator.documents.xlsx.looks import PLAIN

PROVENANCE_SHEET = "_provenance"
LAYOUT = "2"
"""Which arrangement of the sheets this is; ``workbook_reading`` names those that are read back."""
FIELDS = ("layout", "number", "revision", "edition", "pricebook", "pricebook_sha256", "input_sha256", "engine", "seal")


def provenance(offer: Offer, header: QuoteHeader, edition: Edition, layout: str = LAYOUT) -> dict[str, str]:
    """What stands on the hidden sheet, by field; ``layout`` for a workbook of an earlier arrangement."""
    stands = offer.estimate.provenance
    fields = {
        "layout": layout,
        "number": header.number,
        "revision": str(header.revision),
        "edition": edition,
        "pricebook": f"{stands.pricebook} {stands.edition}",
        "pricebook_sha256": stands.sha256,
        "input_sha256": stands.input_sha256,
        "engine": stands.engine,
    }
    return fields | {"seal": _seal(fields, offer)}


def _seal(fields: dict[str, str], offer: Offer) -> str:
    """SHA-256 over these fields and every line's part, quantity, unit price and discount."""
    lines = [
        f"{line.line.part}|{line.line.ordered}|{line.unit_price}|{line.discount}" for line in offer.estimate.bill.lines
    ]
    return hashlib.sha256("\n".join([*fields.values(), *lines]).encode("utf-8", "replace")).hexdigest()


def write_provenance(draft: Draft) -> None:
    """The hidden sheet, two columns."""
    page = draft.page(PROVENANCE_SHEET)
    for row, (field, value) in enumerate(provenance(draft.offer, draft.header, draft.edition).items(), start=1):
        page.put(row, 1, field, PLAIN)
        page.put(row, 2, value, PLAIN)
    page.sheet.sheet_state = "veryHidden"
    page.sheet.protection.sheet = True
