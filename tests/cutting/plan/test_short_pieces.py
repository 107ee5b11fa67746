"""Pieces shorter than a lattice's unit: a plan is made, and its bound is that of lengths."""

import pytest

from estimator.cutting import CutRun, Effort, JointRules, Saw, Stock, plan_cuts
from estimator.places import Place

BAR = Stock("R6", 60_000, 6000)


@pytest.mark.parametrize("bearing", [0, 1])
@pytest.mark.parametrize("work", [100, 1000])
def test_a_joint_may_leave_a_piece_of_a_centimetre(bearing, work):
    """By hand: 6.2 m takes two bars of 6 m; a joint may stand from 1 mm on, so pieces of 10 mm are legal."""
    run = CutRun(Place(part="row 1"), 6200.0, (1.0, 100.0, 3000.0, 6150.0))
    plan = plan_cuts([run], [BAR], JointRules(min_attachments_per_piece=bearing), Saw(), 0, Effort(work))
    assert (plan.cost, plan.lower_bound) == (12_000, 12_000)


def test_whole_pieces_shorter_than_every_unit_lie_on_what_is_left():
    """By hand: 6.2 m and two scraps of 10 and 4 mm are less than two bars."""
    runs = [
        CutRun(Place(part="row 1"), 6200.0, (50.0, 1000.0, 3000.0, 6150.0)),
        CutRun(Place(part="a"), 10.0),
        CutRun(Place(part="b"), 4.0),
    ]
    plan = plan_cuts(runs, [BAR], JointRules(), Saw(), 100, Effort(1000))
    assert (plan.cost, plan.proven_optimal) == (12_100, True)
