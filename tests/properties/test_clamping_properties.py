"""Ribs in clamping zones and the way to move a column, against plain search."""

from math import ceil, floor

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.attachment.geometry.clamping import ColumnZones, further_ribs, ribs_for_column, shift_to_ribs


@st.composite
def columns(draw):
    pitch, first = draw(st.integers(150, 500)), draw(st.integers(0, 300))
    ribs = [float(first + pitch * number) for number in range(30)]
    width = float(draw(st.integers(600, 2400)))
    low = draw(st.integers(0, 30)) / 100
    zone = (low, low + draw(st.integers(1, 20)) / 100)
    x0 = float(draw(st.integers(1200, 3000)))
    return ribs, ColumnZones.of(x0, width, draw(st.integers(10, 40)) / 100, zone)


def inside(x, zone, shift=0.0):
    return zone[0] + shift - 0.001 <= x <= zone[1] + shift + 0.001


@given(columns())
@settings(max_examples=300, deadline=None)
def test_the_ribs_of_a_column_are_the_nearest_inside_its_zones(column):
    ribs, zones = column
    left = [i for i, x in enumerate(ribs) if inside(x, zones.left)]
    right = [i for i, x in enumerate(ribs) if inside(x, zones.right)]
    chosen = ribs_for_column(ribs, zones)
    assert (chosen is None) == (not left or not right)
    if chosen:
        near, far = ribs[chosen[0]], ribs[chosen[1]]
        assert all(abs(near - zones.left_best) <= abs(ribs[i] - zones.left_best) + 0.001 for i in left)
        assert all(abs(far - zones.right_best) <= abs(ribs[i] - zones.right_best) + 0.001 for i in right)
        every = further_ribs(ribs, zones, chosen, 99)
        assert set(every) == {*left, *right}


@given(columns())
@settings(max_examples=150, deadline=None)
def test_the_way_to_move_is_the_shortest_that_helps(column):
    ribs, zones = column
    helps = moves_that_help(ribs, zones)
    shift = shift_to_ribs(ribs, zones)
    if shift is None:
        assert not helps
        return
    assert any(inside(x, zones.left, shift) for x in ribs) and any(inside(x, zones.right, shift) for x in ribs)
    assert not helps or abs(shift) <= min(abs(each) for each in helps) + 0.001


def moves_that_help(ribs, zones):
    """Every move by whole millimetres; places are whole millimetres or hundredths of a width."""
    left = {shift for x in ribs for shift in whole_moves(x, zones.left)}
    return left & {shift for x in ribs for shift in whole_moves(x, zones.right)}


def whole_moves(x, zone):
    return range(ceil(x - zone[1] - 0.001), floor(x - zone[0] + 0.001) + 1)


def test_a_column_past_the_last_rib_moves_back_by_more_than_two_pitches():
    ribs = [2.0 + 150.0 * number for number in range(30)]
    zones = ColumnZones((2851.0, 2869.0), (4633.0, 4651.0), 2860.0, 4642.0)
    assert ribs[-1] == 4352.0
    assert shift_to_ribs(ribs, zones) == -299.0 and -299 in moves_that_help(ribs, zones)
