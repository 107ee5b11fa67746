import tracemalloc

import pytest

from estimator.contract.fault_codes import code_of
from estimator.errors import JobRefused
from estimator.job import ClampingZone
from estimator.layout import lay_out
from tests.builders import a_job, a_module, a_roof, an_array, some_ribs
from tests.facts import facts


def pointers(*roofs, **changes):
    with pytest.raises(JobRefused) as refused:
        lay_out(a_job(*roofs, **changes))
    return [fault.pointer for fault in refused.value.faults]


def roof_of(*arrays, **changes):
    return a_roof(arrays=arrays, **changes)


def test_arrays_on_one_another_are_refused():
    assert pointers(roof_of(an_array(), an_array(name="B", x_mm=4000.0))) == ["/roofs/0/arrays/1"]


def test_arrays_that_touch_are_not_on_one_another():
    lay_out(a_job(roof_of(an_array(), an_array(name="B", x_mm=4040.0))))


def test_arrays_that_interlock_where_cells_are_left_out_are_not_on_one_another():
    hole = an_array(rows=3, columns=3, y_mm=100.0, omit=frozenset({(1, 1)}))
    plug = an_array(name="B", rows=1, columns=1, x_mm=2020.0, y_mm=1820.0)
    lay_out(a_job(roof_of(hole, plug)))
    assert pointers(roof_of(hole, an_array(name="B", rows=1, columns=1, x_mm=1990.0, y_mm=1820.0)))


def test_a_portrait_array_on_a_landscape_one_is_refused():
    landscape = an_array(name="B", orientation="landscape", x_mm=3900.0, y_mm=2900.0, rows=1, columns=1)
    assert pointers(roof_of(an_array(), landscape)) == ["/roofs/0/arrays/1"]


def test_many_arrays_on_one_spot_are_each_refused():
    stack = [an_array(name=str(i)) for i in range(200)]
    assert len(pointers(roof_of(*stack))) == 199


def test_the_same_place_on_two_roofs_is_no_overlap():
    lay_out(a_job(a_roof(), a_roof(name="North")))


def test_a_row_longer_than_the_roof_is_refused_with_how_many_would_fit():
    with pytest.raises(JobRefused) as refused:
        lay_out(a_job(roof_of(an_array(columns=12))))
    (fault,) = refused.value.faults
    # 11 x 1000 + 10 x 20 = 11200; the 12th would make 12220
    assert (fault.pointer, fault.allowed) == ("/roofs/0/arrays/0/columns", "at most 11")
    assert (code_of(fault), facts(fault.message)) == ("too_large", [12, 12220.0, "A", "South", 12000.0])


def test_a_column_longer_than_the_slope_is_refused():
    assert pointers(roof_of(an_array(rows=4))) == ["/roofs/0/arrays/0/rows"]


def test_a_module_larger_than_the_roof_is_refused():
    assert pointers(a_roof(), module=a_module(length_mm=7000.0)) == ["/module/length"]
    narrow = roof_of(an_array(orientation="landscape", rows=1, columns=1, x_mm=0.0), eave_length_mm=1500.0)
    assert pointers(narrow) == ["/module/length"]


def test_an_array_with_every_cell_left_out_is_refused():
    every = frozenset((row, column) for row in range(2) for column in range(3))
    assert pointers(roof_of(an_array(omit=every))) == ["/roofs/0/arrays/0"]


def test_a_cell_left_out_that_the_array_does_not_have_is_refused():
    assert pointers(roof_of(an_array(omit=frozenset({(2, 0), (0, -1)})))) == ["/roofs/0/arrays/0/omit"]


def test_two_roofs_or_two_arrays_of_one_name_are_refused():
    twins = roof_of(an_array(), an_array(x_mm=5000.0))
    assert pointers(twins, a_roof()) == ["/roofs/1/name", "/roofs/0/arrays/1/name"]


def test_a_roof_without_a_rib_on_it_is_refused():
    assert pointers(a_roof(ribs=some_ribs(first_at_mm=13_000.0))) == ["/roofs/0/ribs/first_at"]


def test_a_job_without_arrays_is_refused():
    assert pointers(roof_of()) == ["/roofs"]


def test_a_thousand_million_columns_are_refused_without_making_room_for_them():
    tracemalloc.start()
    found = pointers(roof_of(an_array(columns=10**9)))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found == ["/roofs/0/arrays/0/columns"] and peak < 1_000_000


def test_more_cells_than_are_served_are_refused():
    large = [an_array(name=str(i), rows=400, columns=400) for i in range(2)]
    assert pointers(roof_of(*large)) == ["/roofs"]


def test_more_arrays_than_are_served_are_refused():
    assert pointers(roof_of(*[an_array(name=str(i)) for i in range(2001)])) == ["/roofs"]


def test_every_fault_is_told_at_once():
    roof = roof_of(
        an_array(), an_array(x_mm=1500.0, omit=frozenset({(9, 9)})), an_array(name="C", columns=30), name="South"
    )
    found = pointers(roof, a_roof())
    assert found == [
        "/roofs/1/name",
        "/roofs/0/arrays/1/name",
        "/roofs/0/arrays/1/omit",
        "/roofs/0/arrays/2/columns",
        "/roofs/0/arrays/2",
    ]


def test_a_clamping_zone_that_is_none_is_refused():
    zone = ClampingZone(long_side=(0.3, 0.15), short_side=(0.0, 0.6))
    assert pointers(module=a_module(clamping_zone=zone)) == [
        "/module/clamping_zone/long_side",
        "/module/clamping_zone/short_side",
    ]


def test_ribs_on_one_another_are_refused():
    assert pointers(a_roof(ribs=some_ribs(spacing_mm=0.0))) == ["/roofs/0/ribs/spacing"]


def test_a_module_that_is_no_plate_is_refused():
    assert pointers(module=a_module(width_mm=20.0)) == ["/module/length"]


def overlap_of(*arrays):
    with pytest.raises(JobRefused) as refused:
        lay_out(a_job(roof_of(*arrays)))
    (fault,) = refused.value.faults
    return fault.message


def test_every_module_that_lies_on_another_is_named_and_every_one_below():
    # A covers x 1000 to 4040 in columns 1000, 2020, 3040; y 500 to 2200 and 2220 to 3920. B begins at 3500, 2000: its
    # column 1 (3500 to 4500) lies on column 3 of A, its row 1 (2000 to 3700) on rows 1 and 2, its row 2 (3720 to 5420)
    # on row 2
    held = facts(overlap_of(an_array(), an_array(name="B", x_mm=3500.0, y_mm=2000.0)))
    assert [each for each in held if each == "A" or str(each).startswith("rows 1 to 2, ")] == [
        *["A"] * 2, *["rows 1 to 2, column 1"] * 2, *["rows 1 to 2, column 3"] * 2, "A",
    ]  # fmt: skip


def test_modules_that_lie_on_others_in_no_order_are_each_named():
    comb = frozenset((row, column) for row in range(2) for column in range(3) if (row + column) % 2)
    held = facts(overlap_of(an_array(), an_array(name="B", omit=comb)))
    assert held.count("row 1, column 1; row 1, column 3; row 2, column 2") == 2
