from estimator.attachment import limits_for, set_out
from estimator.job import ClampingZone, Mounting
from estimator.layout import lay_out
from tests.builders import a_choice, a_job, a_module, a_roof, an_array, some_limits


def out(job=None, max_span=1300.0, **wanted):
    job = job or a_job()
    return set_out(job, lay_out(job), a_choice(arrangement="direct"), some_limits(max_span, 0.0), **wanted)


def test_every_module_edge_across_the_ribs_is_held_twice():
    seats = out().seats
    assert [(seat.seam, seat.column) for seat in seats[:6]] == [(0, 0), (0, 0), (0, 1), (0, 1), (0, 2), (0, 2)]
    assert [seat.x for seat in seats[:6]] == [1350.0, 1650.0, 2250.0, 2850.0, 3150.0, 3750.0]


def test_seams_lie_in_the_middle_of_a_gap_and_on_the_outer_edges():
    # 500; 500 + 1700 + 10; 500 + 2 x 1700 + 20
    assert sorted({seat.y for seat in out().seats}) == [500.0, 2210.0, 3920.0]


def test_a_left_out_cell_turns_the_seams_beside_it_into_end_clamps():
    job = a_job(a_roof(arrays=(an_array(rows=3, y_mm=100.0, omit=frozenset({(1, 1)})),)))
    column = [seat for seat in out(job).seats if seat.column == 1]
    assert [(seat.seam, seat.y, seat.clamp) for seat in column[::2]] == [
        (0, 100.0, "end_clamp"),
        (1, 1800.0, "end_clamp"),
        (2, 3540.0, "end_clamp"),
        (3, 5240.0, "end_clamp"),
    ]


def test_further_ribs_in_the_zones_serve_where_the_loads_ask_for_more():
    # column 1 at 1000, best places 1220 and 1780: 1350 and 1650 taken; next nearest 1050 and 1950 (170 off each)
    seats = out(seats_wanted={(0, 0, 0, 0): 3, (0, 0, 1, 0): 4}).seats
    held = {seam: [seat.x for seat in seats if (seat.seam, seat.column) == (seam, 0)] for seam in (0, 1, 2)}
    assert held == {0: [1050.0, 1350.0, 1650.0], 1: [1050.0, 1350.0, 1650.0, 1950.0], 2: [1350.0, 1650.0]}


def test_more_attachments_than_the_zones_have_ribs_is_an_error():
    (finding,) = out(seats_wanted={(0, 0, 0, 0): 5}).findings
    assert (finding.code, finding.found, finding.allowed) == ("too_few_ribs_in_clamping_zones", 4.0, 5.0)


def test_a_column_without_ribs_in_its_zones_is_an_error_here_too():
    narrow = a_module(clamping_zone=ClampingZone(short_side=(0.0, 0.10)))
    found = out(a_job(module=narrow)).findings
    assert [finding.place.column for finding in found] == [2, 3]


def test_attachments_of_a_seam_further_apart_than_the_limit_are_told():
    # 2250 to 2850 are 600 apart, 1650 to 2250 likewise
    (finding,) = out(max_span=500.0).findings
    assert (finding.code, finding.found, finding.allowed) == ("span_too_long", 600.0, 500.0)
    # the book's span is meant for rails: a warning; an engineer's own is kept: an error
    assert finding.severity == "warning"
    given = a_job(mounting=Mounting(arrangement="direct", max_span_mm=500.0))
    choice = a_choice(arrangement="direct")
    (finding,) = set_out(given, lay_out(given), choice, limits_for(given, choice)).findings
    assert (finding.severity, finding.found) == ("error", 600.0)


def test_columns_parted_by_a_left_out_one_are_no_span():
    job = a_job(a_roof(arrays=(an_array(rows=1, omit=frozenset({(0, 1)})),)))
    assert out(job, max_span=650.0).findings == ()
