"""The saw list of an order as CSV, one row a piece."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from estimator.documents.csv_text import Profile, encoded
from estimator.documents.sawing.cells import COLUMNS as PIECE_COLUMNS
from estimator.documents.sawing.cells import cell_of
from estimator.documents.sawing.common_rails import sawn_rails
from estimator.orders import CommonCut

COLUMNS = ("rail", "quote", "job", *PIECE_COLUMNS)


def write_order_saw_csv(together: Sequence[CommonCut], profile: Profile = "machine", delimiter: str = ",") -> bytes:
    """The saw list as CSV (RFC 4180), one row a piece; the same plans, the same bytes.

    The profiles are those of a single job's saw list. Refuses (Conflict) an order with nothing cut together.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for rail in sawn_rails(together):
        for each in rail.pieces:
            own = [each.rail, each.quote, each.job, *(getattr(each.piece, name) for name in PIECE_COLUMNS)]
            writer.writerow([cell_of(value, profile) for value in own])
    return encoded(text.getvalue(), profile)
