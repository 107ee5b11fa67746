"""Branches given up come back for another round, and more thorough ones follow."""

from estimator.cutting.branch_and_bound.nodes import OpenNodes, SearchNode
from estimator.cutting.colgen.bounds import StockLimits
from estimator.cutting.heuristics.diving import DIVE_POLICIES, in_round

LIMITS = StockLimits((0,), (5,))


def test_what_was_given_up_still_bounds_the_whole_and_is_opened_again():
    front = OpenNodes([SearchNode(70, 0, 0, LIMITS)], [SearchNode(60, 9, 3, LIMITS)])
    assert front.bound(100) == 60
    assert front.reopen()
    assert not front.given_up
    assert [(node.bound, node.level, node.round) for node in sorted(front.heap)] == [(60, 0, 1), (70, 0, 0)]
    assert not front.reopen()


def test_a_later_round_goes_back_more_often_and_begins_elsewhere():
    for policy in DIVE_POLICIES:
        assert in_round(policy, 0) is policy
        later = in_round(policy, 2)
        assert later.fails == 4 * policy.fails
        assert later.skip > policy.skip
        assert later.width > policy.width
