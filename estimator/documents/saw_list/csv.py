"""The saw list of one job as CSV, one row a piece."""

from __future__ import annotations

import csv
import io

from estimator.cutting.records import CutPlan
from estimator.documents.csv_text import Profile, encoded
from estimator.documents.sawing.cells import COLUMNS, cell_of
from estimator.documents.sawing.inches import in_inches, saw_columns
from estimator.documents.sawing.pieces import sawn_pieces


def write_saw_csv(
    plan: CutPlan, job: str = "", profile: Profile = "machine", delimiter: str = ",", inches: bool = False
) -> bytes:
    """The saw list as CSV (RFC 4180), one row a piece that is sawn; the same plan, the same bytes.

    ``machine``: UTF-8 without a byte order mark, every value as it is. ``spreadsheet``: with a byte order mark, and an
    apostrophe before texts that a spreadsheet would run as a formula. ``inches``: every length again in inches.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow(saw_columns(inches))
    for piece in sawn_pieces(plan, job):
        more = in_inches(piece) if inches else []
        writer.writerow([*(cell_of(getattr(piece, name), profile) for name in COLUMNS), *more])
    return encoded(text.getvalue(), profile)
