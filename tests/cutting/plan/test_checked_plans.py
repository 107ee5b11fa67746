"""Spliced jobs of all sorts at random: every plan keeps the rules, and no bound claims more than a plan costs."""

import random
from dataclasses import replace

import pytest

from estimator.cutting import CutRun, Effort, JointRules, PriceLevel, Saw, Stock, plan_cuts
from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.runs.sorting import longest_bar, sort_runs
from estimator.cutting.splicing.choice import Purchase, choose, splicing_problem
from estimator.cutting.splicing.search import SplicingSearch
from estimator.places import Place
from tests.cutting.plan.plan_checker import faults_of

LENGTHS = (36_000, 42_000, 48_500, 52_000, 60_000, 61_530)


def offer_of(rng):
    offer = []
    for number, length in enumerate(rng.sample(LENGTHS, rng.choice([1, 2, 3]))):
        price = round(length * rng.uniform(0.085, 0.115))
        breaks = (PriceLevel(rng.randint(2, 20), round(price * 0.93)),) if rng.random() < 0.3 else ()
        limit = rng.randint(0, 8) if number and rng.random() < 0.3 else None
        offer.append(Stock(f"R{number}", length, price, limit, False, breaks))
    if rng.random() < 0.4:
        offer.append(Stock("yard", rng.randrange(8_000, 36_000), rng.choice([0, 500]), rng.randint(1, 4), True))
    return offer


def run_of(rng, label):
    length = round(rng.choice([rng.uniform(3000, 9000), rng.uniform(6000, 20_000), rng.uniform(12_000, 30_000)]), 1)
    step, even = rng.choice([600.0, 914.4, 1200.0, 2400.0]), rng.random() < 0.5
    stands, at = [], rng.uniform(50.0, 500.0)
    while at < length:
        stands.append(round(at, 1))
        at += step if even else step * rng.uniform(0.6, 1.4)
    return CutRun(Place(part=label), length, tuple(stands if rng.random() < 0.9 else stands[:2]))


def job_of(seed):
    rng = random.Random(f"spliced job {seed}")
    kinds = [(run_of(rng, f"row {k}"), rng.choice([1, 1, 2, 5])) for k in range(rng.randint(1, 4))]
    runs = [replace(run, place=replace(run.place, piece=n)) for run, times in kinds for n in range(1, times + 1)]
    reusable = rng.choice([None, None, 0, 5_000, 20_000])
    saw = Saw(rng.choice([0, 30]), rng.choice([0, 50]), reusable, 0 if reusable is None else rng.choice([250, 1200]))
    rules = JointRules(
        rng.choice([0.0, 50.0, 200.0]),
        rng.choice([0.0, 300.0, 1200.0]),
        rng.choice([0, 1, 2]),
        rng.choice([None, None, 9000.0, 13_000.0]),
        rng.random() < 0.3,
    )
    return runs, offer_of(rng), rules, saw, rng.choice([0, 150, 600, 9000])


@pytest.mark.parametrize("seed", range(24))
def test_a_plan_keeps_every_rule_and_adds_up(seed):
    job = job_of(seed)
    plan = plan_cuts(*job, Effort(60))
    assert faults_of(plan, *job) == []
    if seed % 6 == 0:
        assert plan_cuts(*job, Effort(60)) == plan


class OneMore:
    """A bench on which every proposal costs one unit more than the best plan known."""

    def __init__(self, cost):
        self.cost = cost

    def evaluate(self, proposal, lattice):
        return self.cost

    def incumbent(self):
        return None


@pytest.mark.parametrize("seed", [*range(30, 48)])
@pytest.mark.parametrize("hidden", [True, False])
def test_no_bound_is_above_a_plan_that_the_search_does_not_know(seed, hidden):
    """The search is told no plan, or a cost one unit above that of a real one: it may prove that one's cost at most."""
    runs, offer, rules, saw, splice = job_of(seed)
    purchase = Purchase(tuple(replace(stock, breaks=()) for stock in offer), saw, splice)
    found = sort_runs(runs, rules, longest_bar(purchase.offer, saw))
    cost = choose(found, purchase, Effort(60)).cost
    if found.kinds:
        search = SplicingSearch(
            splicing_problem(found, purchase), OneMore(None if hidden else cost + 1), Budget(Effort(60))
        )
        search.best = None if hidden else cost + 1
        assert search.run(0) <= cost


@pytest.mark.parametrize("saw", [Saw(30), Saw(30, 0, 10_000, 250)])
@pytest.mark.parametrize("splice", [0, 150])
def test_a_job_too_large_to_prove_is_at_least_bounded_by_its_length(saw, splice):
    """Two bars at 1.00 a metre and a little more: no plan of so many metres costs less; off-cuts give no more back."""
    rng = random.Random("long runs")
    lengths = [round(rng.uniform(30_000, 45_000), 1) for _ in range(8)]
    runs = [
        CutRun(Place(part=f"row {k}"), x, tuple(200.0 + 600 * n for n in range(int(x // 600))))
        for k, x in enumerate(lengths)
    ]
    offer = [Stock("R6", 60_000, 6000), Stock("R4", 42_000, 4300)]
    plan = plan_cuts(runs, offer, JointRules(50.0, 300.0, 1), saw, splice, Effort(60))
    fewest = sum(-(-x * 10 // 60_000) - 1 for x in lengths)
    assert sum(lengths) * 0.999 + fewest * splice <= plan.lower_bound <= plan.cost
    assert faults_of(plan, runs, offer, JointRules(50.0, 300.0, 1), saw, splice) == []
