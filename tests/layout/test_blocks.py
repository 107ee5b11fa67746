from hypothesis import given
from hypothesis import strategies as st

from estimator.layout.blocks import MOST_BLOCKS, blocks_of, cells_in_words

CELLS = st.sets(st.tuples(st.integers(0, 12), st.integers(0, 12)))


def inside(block):
    rows = range(block.first_row - 1, block.last_row)
    return {(row, column) for row in rows for column in range(block.first_column - 1, block.last_column)}


@given(CELLS)
def test_blocks_hold_every_cell_once_and_no_other(cells):
    blocks = blocks_of(cells)
    assert sum(block.cells for block in blocks) == len(cells)
    assert {cell for block in blocks for cell in inside(block)} == cells


def test_a_whole_array_is_one_block():
    (block,) = blocks_of((row, column) for row in range(40) for column in range(60))
    assert (block.first_row, block.last_row, block.first_column, block.last_column) == (1, 40, 1, 60)


def test_what_is_in_no_order_is_counted_beyond_so_many():
    scattered = [(row, 2 * column + row % 2) for row in range(10) for column in range(10)]
    assert cells_in_words(scattered).endswith(f"; {100 - MOST_BLOCKS} more")
