"""Which cells of an array, told in few words: cells side by side are one block of rows and columns."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from estimator.sentences import Sentence, joined, say

MOST_BLOCKS = 20
"""So many blocks are named; what is in no order at all would fill pages."""


@dataclass(frozen=True, slots=True)
class Block:
    """All cells of some rows and columns, both counted from 1, ends included."""

    first_row: int
    last_row: int
    first_column: int
    last_column: int

    @property
    def cells(self) -> int:
        """How many cells it holds."""
        return (self.last_row - self.first_row + 1) * (self.last_column - self.first_column + 1)

    @property
    def words(self) -> Sentence:
        """Its rows and columns: rows 1 to 3, column 2."""
        return joined(", ", (_rows(self.first_row, self.last_row), _columns(self.first_column, self.last_column)))


def blocks_of(cells: Iterable[tuple[int, int]]) -> tuple[Block, ...]:
    """Every (row, column), counted from 0, in one block: stretches of a row, then rows with the same stretch.

    >>> [str(block.words) for block in blocks_of([(0, 0), (0, 1), (1, 0), (1, 1), (3, 4)])]
    ['rows 1 to 2, columns 1 to 2', 'row 4, column 5']
    """
    stretches: dict[tuple[int, int], list[int]] = {}
    for row, of_row in groupby(sorted(set(cells)), key=lambda cell: cell[0]):
        for first, last in _runs([column for _, column in of_row]):
            stretches.setdefault((first, last), []).append(row)
    blocks = [
        Block(first + 1, last + 1, columns[0] + 1, columns[1] + 1)
        for columns, rows in stretches.items()
        for first, last in _runs(rows)
    ]
    return tuple(sorted(blocks, key=lambda block: (block.first_row, block.first_column)))


def cells_in_words(cells: Iterable[tuple[int, int]]) -> Sentence:
    """All cells in words, block by block; beyond ``MOST_BLOCKS`` how many more there are."""
    blocks = blocks_of(cells)
    named = [block.words for block in blocks[:MOST_BLOCKS]]
    more = sum(block.cells for block in blocks[MOST_BLOCKS:])
    return joined("; ", (*named, *([say("{count} more", count=more)] if more else [])))


def _runs(numbers: list[int]) -> list[tuple[int, int]]:
    """First and last of every stretch of ascending numbers without a gap."""
    runs: list[tuple[int, int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return runs


def _rows(first: int, last: int) -> Sentence:
    if first == last:
        return say("row {number}", number=str(first))
    return say("rows {first} to {last}", first=str(first), last=str(last))


def _columns(first: int, last: int) -> Sentence:
    if first == last:
        return say("column {number}", number=str(first))
    return say("columns {first} to {last}", first=str(first), last=str(last))
