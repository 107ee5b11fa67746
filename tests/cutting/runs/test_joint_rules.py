"""Where splices may stand, by hand on simple runs. Rules: common practice, no source."""

from estimator.cutting.records import CutRun, JointRules
from estimator.cutting.runs.joint_rules import (
    Member,
    can_be_made,
    is_legal,
    members_of,
    part_ends,
    windows_at,
    windows_between,
)
from estimator.places import Place

RULES = JointRules(splice_clear_of_attachment_mm=100.0, min_piece_length_mm=500.0, min_attachments_per_piece=1)


def member(length, attachments, rules=RULES):
    return members_of(CutRun(Place(part="a run"), length, tuple(attachments)), rules)[0][1]


def test_a_span_leaves_a_window_near_each_of_its_attachments():
    windows = windows_between([2000.0, 14000.0], 16000, 1000.0)
    assert [(w.low, w.high) for w in windows] == [(3000, 6000), (10000, 13000)]


def test_a_splice_never_stands_in_a_cantilever():
    made = member(3000.0, [500.0, 2500.0])
    assert all(5000 < w.low <= w.high < 25000 for w in made.windows)


def test_a_span_whose_third_is_shorter_than_the_clear_distance_takes_no_splice():
    assert windows_between([0.0, 2900.0], 2900, 1000.0) == ()


def test_a_run_of_one_attachment_cannot_be_spliced():
    assert not can_be_made(member(7000.0, [3500.0]), 60_000)


def test_a_joint_in_the_middle_third_is_not_legal_and_one_beside_it_is():
    made = member(8000.0, [400.0, 2800.0, 5200.0, 7600.0])
    assert is_legal(made, (36_000,), 60_000)
    assert not is_legal(made, (40_000,), 60_000)


def test_a_piece_without_enough_attachments_is_not_legal():
    rules = JointRules(100.0, 500.0, 2)
    made = member(8000.0, [400.0, 2800.0, 5200.0, 7600.0], rules)
    assert not is_legal(made, (10_000,), 72_000)
    assert is_legal(made, (36_000,), 60_000)


def test_a_run_longer_than_its_rail_may_be_continuous_is_parted_equally_and_as_seldom_as_possible():
    assert part_ends(250_000, 12_000.0) == (83_333, 166_667, 250_000)
    assert part_ends(240_000, 12_000.0) == (120_000, 240_000)


def test_whether_a_member_can_be_made_depends_on_the_bar():
    made = Member(100_000, windows_between([5000.0, 35_000.0, 65_000.0, 95_000.0], 100_000, 1000.0), 4, 5000, 1)
    assert can_be_made(made, 60_000)
    assert not can_be_made(made, 20_000)


def test_an_attachment_under_a_joint_bears_the_piece_that_needs_it():
    """With no clear distance asked, a joint may stand on an attachment; it then counts for one of the two pieces."""
    windows = windows_between([2000.0, 14_000.0, 26_000.0, 38_000.0], 40_000, 0.0)
    one = Member(40_000, windows, 4, 100, 2)
    assert is_legal(one, (14_000,), 30_000)  # two attachments up to the joint, two beyond
    assert windows_at(one, (14_000,))[0].span == 1
    assert not is_legal(one, (12_000,), 30_000)  # one attachment before the joint
    assert not is_legal(one, (14_000, 26_000), 30_000)  # one between the joints at most
