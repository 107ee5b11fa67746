"""What a search proves at one set of prices holds at others: against searches at those prices; no outside source."""

import random

import pytest

from estimator.cutting import CutRun, Effort, JointRules, Saw, Stock, plan_cuts
from estimator.cutting.runs.sorting import longest_bar, sort_runs
from estimator.cutting.splicing.choice import Purchase, choose
from estimator.places import Place

RULES = JointRules(100.0, 500.0, 1)


def job(seed):
    rng = random.Random(f"elsewhere {seed}")
    runs = []
    for shape in range(rng.randint(1, 2)):
        length, step = rng.randint(70, 150) * 100.0, rng.choice([1_000.0, 1_200.0, 1_500.0])
        stands = tuple(300.0 + step * k for k in range(int((length - 350) // step) + 1))
        runs += [CutRun(Place(part=f"{shape} {k}"), length, stands) for k in range(rng.choice([2, 3, 5]))]
    offer = [Stock("R6", 60_000, 6_000), Stock("R5", 52_000, 5_300)]
    saw = Saw(30, 0, 12_000, 180) if rng.random() < 0.4 else Saw(30)
    return runs, offer, saw, rng.choice([200, 700]), rng


@pytest.mark.parametrize("seed", range(12))
def test_no_plan_at_other_prices_costs_less_than_was_proven_for_them(seed):
    runs, offer, saw, splice, rng = job(seed)
    found = sort_runs(runs, RULES, longest_bar(offer, saw))
    choice = choose(found, Purchase(tuple(offer), saw, splice), Effort(150))
    assert choice.elsewhere is not None
    here = choice.elsewhere([bar.price for bar in offer], [0, 0], [None, None], 1 << 40, 1 << 40)
    assert 0.9 * choice.cost < here <= choice.cost
    prices = [int(bar.price * rng.uniform(0.85, 1.15)) for bar in offer]
    other = [Stock(bar.part, bar.length, price) for bar, price in zip(offer, prices, strict=True)]
    plan = plan_cuts(runs, other, RULES, saw, splice, effort=Effort(150))
    bars = [sum(each.count for each in plan.bars_by_length if each.part == bar.part) for bar in offer]
    for least, most in (([0, 0], [None, None]), (bars, [None, None]), ([0, 0], bars), (bars, bars)):
        assert 0 < choice.elsewhere(prices, least, most, 1 << 40, 1 << 40) <= plan.cost
    dearest = max(prices)
    more = [bars[0] + 3, bars[1]]
    assert choice.elsewhere(prices, more, [None, None], 1 << 40, 1 << 40) <= plan.cost + 3 * dearest


def test_where_a_price_caps_what_an_off_cut_is_worth_nothing_is_said():
    runs, offer, _, splice, _ = job(1)
    saw = Saw(30, 0, 12_000, 900)
    found = sort_runs(runs, RULES, longest_bar(offer, saw))
    choice = choose(found, Purchase(tuple(offer), saw, splice), Effort(60))
    assert choice.elsewhere is not None
    assert choice.elsewhere([6_000, 3_000], [0, 0], [None, None], 1 << 40, 1 << 40) == 0


def test_a_choice_asked_for_again_is_the_same_and_one_for_other_bars_is_not():
    runs, offer, saw, splice, _ = job(2)
    found = sort_runs(runs, RULES, longest_bar(offer, saw))
    first = choose(found, Purchase(tuple(offer), saw, splice), Effort(60))
    again = choose(sort_runs(runs, RULES, longest_bar(offer, saw)), Purchase(tuple(offer), saw, splice), Effort(60))
    assert (again.cost, again.bound, again.chosen, again.cut) == (first.cost, first.bound, first.chosen, first.cut)
    fewer = choose(found, Purchase(tuple(offer[:1]), saw, splice), Effort(60))
    assert all(pattern.stock == 0 for pattern in fewer.cut.patterns)
    stopped = choose(found, Purchase(tuple(offer), saw, splice), Effort(60, lambda: True))
    assert stopped.work < first.work
