"""Spliced jobs whose optimum is known because they were made from it.

Bars are laid end to end and divided into runs without waste; attachments are set so that every joint stands where it
may. No plan takes fewer bars (lengths), and jobs are kept only where every run has the fewest splices it can have.
"""

import random
from itertools import pairwise

import pytest

from estimator.cutting.plan.planning import plan_cuts
from estimator.cutting.records import CutRun, Effort, JointRules, Saw, Stock
from estimator.cutting.runs.joint_rules import fewest_splices, is_legal, members_of
from estimator.places import Place

RULES = JointRules(50.0, 300.0, 1)
BAR = 60_000


def laid_end_to_end(seed, bars):
    """Runs, in tenths of a mm, cut from so many whole bars without waste, and the number of their splices."""
    rng = random.Random(f"end to end {seed} {bars}")
    while True:
        found = one_draw(rng, bars)
        if found is not None:
            return found


def one_draw(rng, bars):
    while True:
        cuts = sorted(rng.sample(range(70_000, bars * BAR - 70_000, 10), bars // 2 - 1))
        edges = [0, *cuts, bars * BAR]
        lengths = [b - a for a, b in pairwise(edges)]
        if min(lengths) > 65_000:
            break
    runs, splices = [], 0
    for number, (start, end) in enumerate(pairwise(edges)):
        joints = [(b - start) / 10 for b in range(BAR, bars * BAR, BAR) if start < b < end]
        splices += len(joints)
        length = (end - start) / 10
        stands = sorted({round(j + d, 1) for j in joints for d in (-900.0, -100.0, 500.0) if 0 < j + d < length})
        run = CutRun(Place(part=f"run {number}"), length, tuple(stands))
        if not is_legal(members_of(run, RULES)[0][1], [round(j * 10) for j in joints], BAR):
            return None
        runs.append(run)
    return runs, splices


@pytest.mark.parametrize(("seed", "bars"), [(0, 6), (1, 6), (3, 6), (0, 10), (2, 10), (3, 10), (0, 20)])
def test_runs_made_from_whole_bars_take_hardly_more(seed, bars):
    runs, splices = laid_end_to_end(seed, bars)
    plan = plan_cuts(runs, [Stock("R6", BAR, 6_000)], RULES, Saw(), 400, effort=Effort(1_000))
    made_from = bars * 6_000 + splices * 400
    assert plan.lower_bound <= min(plan.cost, made_from)
    if bars <= 10:
        assert (plan.cost, plan.proven_optimal) == (made_from, True)
    assert plan.cost <= made_from + 6_000
    fewest = sum(fewest_splices(member, BAR) or 0 for run in runs for _, member in members_of(run, RULES))
    assert plan.lower_bound >= bars * 6_000 + fewest * 400
