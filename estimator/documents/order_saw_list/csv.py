"""The saw list of an order as CSV, one row a piece."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from estimator.documents.csv_text import Profile, encoded
from estimator.documents.sawing.cells import COLUMNS as PIECE_COLUMNS
from estimator.documents.sawing.cells import cell_of
from estimator.documents.sawing.common_rails import sawn_rails
from estimator.documents.sawing.inches import in_inches, saw_columns
from estimator.orders import CommonCut
from estimator.units import systems_of

COLUMNS = ("rail", "quote", "job", *PIECE_COLUMNS)


def write_order_saw_csv(together: Sequence[CommonCut], profile: Profile = "machine", delimiter: str = ",") -> bytes:
    """The saw list as CSV (RFC 4180), one row a piece; the same plans, the same bytes.

    Where a job reads them, every length stands again in inches, behind everything else. The profiles are those
    of a single job's saw list. Refuses (Conflict) an order with nothing cut together.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\r\n")
    rails = sawn_rails(together)
    inches = any("us" in systems_of(rail.sheet.units) for rail in rails)
    writer.writerow((*COLUMNS[:3], *saw_columns(inches)))
    for rail in rails:
        for each in rail.pieces:
            own = [each.rail, each.quote, each.job, *(getattr(each.piece, name) for name in PIECE_COLUMNS)]
            writer.writerow([*(cell_of(value, profile) for value in own), *(in_inches(each.piece) if inches else ())])
    return encoded(text.getvalue(), profile)
