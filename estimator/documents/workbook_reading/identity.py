"""Whether a workbook is the one that was written for this quote, by its hidden sheet."""

from __future__ import annotations

from estimator.comparison.records import Offer
from estimator.documents.header import QuoteHeader
from estimator.documents.workbook.sheets.provenance import FIELDS, LAYOUT, PROVENANCE_SHEET, provenance
from estimator.documents.workbook_reading.archive import Archive, refuse
from estimator.documents.workbook_reading.cells import read_cells, sheet_parts
from estimator.documents.xlsx.plain_text import plain
from estimator.errors import StaleWorkbook

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
        raise refuse("it was not written by this service", "the workbook as it was downloaded")
    addresses = {f"{column}{row}" for row in range(1, len(FIELDS) + 1) for column in "AB"}
    cells = {cell: found.text for (_, cell), found in read_cells(archive, {PROVENANCE_SHEET: addresses}).items()}
    stands = {cells.get(f"A{row}", ""): cells.get(f"B{row}", "") for row in range(1, len(FIELDS) + 1)}
    layout = stands.get("layout", "")
    if layout not in LAYOUTS_READ:
        raise refuse("its sheets are arranged as another version of this service arranged them", "a fresh download")
    wanted = {field: plain(value) for field, value in provenance(offer, header, "estimator", layout).items()}
    if stands.get("number") != wanted["number"]:
        other = stands.get("number", "")[:80]
        raise refuse(f"it is of quote {other!r}, not of {header.number!r}", f"the workbook of {header.number}")
    _check_revision(stands.get("revision", ""), header)
    if stands.get("edition") != "estimator":
        raise refuse("it is the customer's edition", "the estimator's edition")
    if stands != wanted:
        raise refuse("its figures are not those of this revision", "a fresh download")
    return layout


def _check_revision(found: str, header: QuoteHeader) -> None:
    if not found.isascii() or not found.isdigit() or len(found) > 9:
        raise refuse("it does not say its revision", f"revision {header.revision}")
    if int(found) < header.revision:
        raise StaleWorkbook(
            f"the workbook is of revision {found}; quote {header.number} is at revision {header.revision}"
        )
    if int(found) > header.revision:
        raise refuse(f"it is of revision {found}", f"revision {header.revision}")
