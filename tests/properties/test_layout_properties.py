"""What holds for every layout: segments cover each module once, breaches are found as one by one."""

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.errors import JobRefused
from estimator.layout import lay_out, module_rectangles
from tests.builders import a_job, a_roof, an_array


@st.composite
def omissions(draw):
    rows, columns = draw(st.integers(1, 5)), draw(st.integers(1, 7))
    cells = [(row, column) for row in range(rows) for column in range(columns)]
    return rows, columns, frozenset(draw(st.sets(st.sampled_from(cells), max_size=len(cells) - 1)))


@given(omissions())
@settings(max_examples=150, deadline=None)
def test_segments_hold_every_module_once_and_none_left_out(cells):
    rows, columns, omit = cells
    job = a_job(a_roof(slope_length_mm=20_000.0, arrays=(an_array(rows=rows, columns=columns, omit=omit),)))
    array = lay_out(job).roofs[0].arrays[0]
    by_rows = [(part.line, at) for part in array.row_segments for at in range(part.first, part.last + 1)]
    by_columns = [(at, part.line) for part in array.column_segments for at in range(part.first, part.last + 1)]
    present = {(row, column) for row in range(rows) for column in range(columns)} - omit
    assert len(by_rows) == len(by_columns) == len(present) == array.modules
    assert set(by_rows) == set(by_columns) == present
    for part in array.row_segments:
        assert (part.line, part.first - 1) not in present and (part.line, part.last + 1) not in present


places = st.tuples(st.integers(0, 90), st.integers(0, 30))


@given(places, places, st.sampled_from(["portrait", "landscape"]), omissions())
@settings(max_examples=150, deadline=None)
def test_arrays_are_refused_exactly_where_two_modules_overlap(first, second, orientation, cells):
    rows, columns, omit = cells
    one = an_array(x_mm=first[0] * 100.0, y_mm=first[1] * 100.0, rows=rows, columns=columns, omit=omit)
    other = an_array(name="B", x_mm=second[0] * 100.0, y_mm=second[1] * 100.0, orientation=orientation)
    roof = a_roof(eave_length_mm=50_000.0, slope_length_mm=50_000.0, arrays=(one, other))
    job = a_job(roof)
    boxes = [module_rectangles(job, 0, number)[0].tolist() for number in (0, 1)]
    overlap = any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for a in boxes[0] for b in boxes[1])
    try:
        lay_out(job)
        assert not overlap
    except JobRefused:
        assert overlap
