"""Words of editions made before arrangements were named for what a crew sees; such editions are read as they are.

Their files stay untouched, so that their SHA-256 stays the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from estimator.arrangements import OLDER_WORDS, PROPERTIES

OLDER_COLUMNS: Mapping[str, str] = {
    f"height_{older}": PROPERTIES[today].height_column for older, today in OLDER_WORDS.items()
}
_OF_ARRANGEMENTS = frozenset({"arrangement", "arrangements"})


def in_words_of_today(records: Sequence[Sequence[str]]) -> list[list[str]]:
    """A table's cells, the first record its column names, with older words replaced by those of today.

    >>> in_words_of_today([["part", "height_side_rail"], ["B", "66"]])
    [['part', 'height_rail_on_side'], ['B', '66']]
    >>> in_words_of_today([["rule", "arrangement"], ["side_rail", "side_rail; direct"]])
    [['rule', 'arrangement'], ['side_rail', 'rail_on_side; direct']]
    """
    header = [_replaced(cell, OLDER_COLUMNS) for cell in records[0]]
    places = [at for at, name in enumerate(header) if name.strip() in _OF_ARRANGEMENTS]
    rows = [list(record) for record in records[1:]]
    for row in rows:
        for at in places:
            if at < len(row):
                row[at] = ";".join(_replaced(entry, OLDER_WORDS) for entry in row[at].split(";"))
    return [header, *rows]


def _replaced(cell: str, words: Mapping[str, str]) -> str:
    """A cell whose whole text is an older word, spaces around it kept."""
    word = cell.strip()
    return cell.replace(word, words[word]) if word in words else cell
