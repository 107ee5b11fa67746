"""The quick search: plans that keep every rule, bounds that no plan undercuts, and the gap that was asked for."""

import random
from dataclasses import replace

import pytest

from estimator.cutting import CutRun, Effort, JointRules, Saw, Stock, plan_cuts
from estimator.cutting.splicing.quick import search
from tests.cutting.plan.plan_checker import faults_of
from tests.cutting.plan.test_checked_plans import job_of

PROMPT = Effort(150, gap=0.001)


@pytest.mark.parametrize("seed", range(100, 110))
def test_a_quick_plan_keeps_every_rule_and_its_bound_holds(seed):
    """Source: the rules in the docstring of the runs; a bound may not exceed what any plan found otherwise costs."""
    job = job_of(seed)
    plan = plan_cuts(*job, PROMPT)
    assert faults_of(plan, *job) == []
    assert plan.lower_bound <= min(plan.cost, plan_cuts(*job, Effort(200)).cost)


def rows_of_all_lengths(kinds):
    """Runs that differ all in length and in where their ribs stand."""
    rng = random.Random(f"rows {kinds}")
    runs = []
    for row in range(kinds):
        length, first = round(rng.uniform(7_000, 12_000), 1), rng.uniform(100, 350)
        stands = tuple(round(first + 1250.0 * n, 1) for n in range(int((length - first) // 1250.0) + 1))
        runs += [CutRun(f"row {row}, rail {rail}", length, stands) for rail in (1, 2)]
    return runs, [Stock("R6", 60_000, 5_900), Stock("R4", 42_000, 4_300)], JointRules(100.0, 500.0, 1), Saw(30), 300


def test_many_kinds_of_runs_are_planned_in_blocks(monkeypatch):
    """Common practice, no source: in blocks, too, the bound is below every plan, and not far."""
    monkeypatch.setattr(search, "QUICK", replace(search.QUICK, few_kinds=12, blocks=8))
    job = rows_of_all_lengths(30)
    plan = plan_cuts(*job, Effort(300, gap=0.001))
    assert faults_of(plan, *job) == []
    assert plan == plan_cuts(*job, Effort(300, gap=0.001))
    assert 0.98 * plan.cost <= plan.lower_bound <= plan.cost
    monkeypatch.undo()
    assert plan.lower_bound <= plan_cuts(*job, Effort(400)).cost


def test_with_hundreds_of_kinds_plan_and_bound_stay_near_each_other():
    """Measured before kinds were put in blocks: a gap of 0.87 %, and a plan of 3,942,400; no source but this search."""
    job = rows_of_all_lengths(200)
    plan = plan_cuts(*job, Effort(600, gap=0.001))
    assert faults_of(plan, *job) == []
    assert plan.cost * 0.994 <= plan.lower_bound <= plan.cost <= 3_935_000


def test_the_search_ends_once_the_gap_is_reached():
    """A gap of a tenth is reached sooner than one of a thousandth; both say their bound."""
    job = rows_of_all_lengths(5)
    near, far = plan_cuts(*job, Effort(2_000, gap=0.001)), plan_cuts(*job, Effort(2_000, gap=0.1))
    assert far.work < near.work
    assert far.cost - far.lower_bound <= 0.1 * far.cost
    assert near.cost <= far.cost
