import pytest

from estimator.layout import lay_out, module_rectangles
from tests.builders import a_job, a_roof, an_array


def laid(**changes):
    return lay_out(a_job(a_roof(arrays=(an_array(**changes),)))).roofs[0].arrays[0]


def test_a_full_array_has_one_segment_a_row_and_one_a_column():
    array = laid()
    assert array.modules == 6
    assert [(part.line, part.first, part.last) for part in array.row_segments] == [(0, 0, 2), (1, 0, 2)]
    assert [(part.line, part.first, part.last) for part in array.column_segments] == [(0, 0, 1), (1, 0, 1), (2, 0, 1)]


def test_a_cell_left_out_splits_its_row_and_its_column():
    array = laid(rows=3, omit=frozenset({(1, 1)}))
    assert [(part.line, part.first, part.last) for part in array.row_segments] == [
        (0, 0, 2),
        (1, 0, 0),
        (1, 2, 2),
        (2, 0, 2),
    ]
    assert [(part.line, part.first, part.last) for part in array.column_segments if part.line == 1] == [
        (1, 0, 0),
        (1, 2, 2),
    ]


def test_a_segment_reaches_from_outer_edge_to_outer_edge_of_its_modules():
    part = laid().row_segments[1]
    # row 1 starts 1700 + 20 above the corner; three modules of 1000 with two gaps of 20
    assert (part.x0, part.y0, part.x1, part.y1) == (1000.0, 2220.0, 4040.0, 3920.0)
    column = laid().column_segments[2]
    assert (column.x0, column.y0, column.x1, column.y1) == (3040.0, 500.0, 4040.0, 3920.0)


@pytest.mark.parametrize(("orientation", "extent"), [("portrait", (1000.0, 1700.0)), ("landscape", (1700.0, 1000.0))])
def test_a_portrait_module_has_its_longer_side_up_the_slope(orientation, extent):
    array = laid(orientation=orientation)
    assert (array.module_x_mm, array.module_y_mm) == extent


def test_every_rectangle_stands_on_its_cell():
    job = a_job(a_roof(arrays=(an_array(omit=frozenset({(0, 1)})),)))
    rectangles, cells = module_rectangles(job, 0, 0)
    assert cells.tolist() == [[0, 0], [0, 2], [1, 0], [1, 1], [1, 2]]
    assert rectangles[1].tolist() == [3040.0, 500.0, 4040.0, 2200.0]


def test_ribs_stand_on_the_plane_only():
    roof = a_roof(eave_length_mm=4000.0, arrays=(an_array(x_mm=100.0),))
    lines = lay_out(a_job(roof)).roofs[0].ribs_x
    assert lines[0] == 150.0 and lines[-1] == 3750.0 and len(lines) == 13


def test_a_rib_exactly_on_the_edge_lies_on_the_plane():
    roof = a_roof(eave_length_mm=4050.0, arrays=(an_array(x_mm=100.0),))
    assert lay_out(a_job(roof)).roofs[0].ribs_x[-1] == 4050.0
