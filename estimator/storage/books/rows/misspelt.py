"""A misspelt name is blamed on the row that spells it alone, not on the rows that name it rightly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from estimator.errors import Fault, FilePlace
from estimator.pricebook.nearest import nearest
from estimator.sentences import say
from estimator.storage.books.rows.row import Reading, Row

LEAST_WITNESSES = 2
"""So many rows must agree on a name before the row that defines a like one is blamed; common practice, no source."""


def blame_misspelt(reading: Reading, defined: Mapping[str, tuple[str, Sequence[Row]]]) -> None:
    """Turn the faults of several rows that name the same unknown thing into one of the row that was meant to define it.

    Args:
        reading: the faults found, and what rows name.
        defined: by kind (part, rail ...) the column that names it and the rows that define it.

    Only a name like theirs that nothing else names is blamed; else every row keeps its own fault.
    """
    for (what, name), named in list(reading.references.items()):
        faults = [each for each in named if each is not None]
        if len(faults) < LEAST_WITNESSES or what not in defined:
            continue
        column, rows = defined[what]
        alone = {row.text(column): row for row in rows if (what, row.text(column)) not in reading.references}
        meant = nearest(name, alone)
        if meant:
            reading.faults[:] = [each for each in reading.faults if not any(each is one for one in faults)]
            _blame(alone[meant], column, what, meant, name, len(faults))


def _blame(row: Row, column: str, what: str, spelt: str, name: str, rows: int) -> None:
    at = FilePlace(row.file, row.number, column)
    row.reading.faults[:] = [each for each in row.reading.faults if each.pointer != at]
    message = say(
        "no other row names {what} {spelt}, and {rows} rows name {name}, which is not in the book",
        what=what,
        spelt=repr(spelt),
        rows=rows,
        name=repr(name),
    )
    row.reading.faults.append(Fault(at, message, name))
