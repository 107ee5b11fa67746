"""Whether a workbook is the one that was written for this quote, by its hidden sheet."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.header import QuoteHeader
from estimator.documents.workbook.sheets.provenance import FIELDS, LAYOUT, PROVENANCE_SHEET, provenance
from estimator.documents.workbook_reading.archive import Archive, refuse
from estimator.documents.workbook_reading.cells import read_cells, sheet_parts
from estimator.documents.xlsx.plain_text import plain
from estimator.errors import StaleWorkbook
from estimator.sentences import say

LAYOUTS_READ = frozenset({"1", LAYOUT})
"""Arrangements of the sheets that are read. In the first, cells to be filled in stand where they stand today, but
checks have none, and texts beside them differ."""


def check_identity(archive: Archive, offer: Offer, header: QuoteHeader) -> str:
    """Refuse a workbook that is not of this quote, revision and edition, each with its reason; gives its layout.

    Raises:
        Refused: no provenance, another quote, the customer's edition, other figures than the quote's.
        StaleWorkbook: an older revision of the same quote.

    """
    if PROVENANCE_SHEET not in sheet_parts(archive):
        raise refuse(say("it was not written by this service"), say("the workbook as it was downloaded"))
    addresses = {f"{column}{row}" for row in range(1, len(FIELDS) + 1) for column in "AB"}
    cells = {cell: found.text for (_, cell), found in read_cells(archive, {PROVENANCE_SHEET: addresses}).items()}
    stands = {cells.get(f"A{row}", ""): cells.get(f"B{row}", "") for row in range(1, len(FIELDS) + 1)}
    layout = stands.get("layout", "")
    if layout not in LAYOUTS_READ:
        raise refuse(
            say("its sheets are arranged as another version of this service arranged them"), say("a fresh download")
        )
    wanted = {field: plain(value) for field, value in provenance(offer, header, "estimator", layout).items()}
    if stands.get("number") != wanted["number"]:
        other = stands.get("number", "")[:80]
        raise refuse(
            say("it is of quote {other}, not of {number}", other=repr(other), number=repr(header.number)),
            say("the workbook of {number}", number=header.number),
        )
    _check_revision(stands.get("revision", ""), header)
    if stands.get("edition") != "estimator":
        raise refuse(say("it is the customer's edition"), say("the estimator's edition"))
    if stands != wanted:
        raise refuse(say("its figures are not those of this revision"), say("a fresh download"))
    return layout


def _check_revision(found: str, header: QuoteHeader) -> None:
    if not found.isascii() or not found.isdigit() or len(found) > 9:
        raise refuse(say("it does not say its revision"), say("revision {revision}", revision=header.revision))
    if int(found) < header.revision:
        raise StaleWorkbook(
            say(
                "the workbook is of revision {found}; quote {number} is at revision {revision}",
                found=found,
                number=header.number,
                revision=header.revision,
            )
        )
    if int(found) > header.revision:
        raise refuse(
            say("it is of revision {found}", found=found), say("revision {revision}", revision=header.revision)
        )
