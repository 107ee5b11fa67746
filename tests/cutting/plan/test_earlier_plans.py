"""A plan made before is part of what is asked: at other prices none comes out dearer than it would be, repriced."""

import random
from dataclasses import replace

import pytest

from estimator.cutting import Effort, PriceLevel, Saw, Stock, plan_cuts
from tests.cutting.plan.plan_checker import charged, faults_of, usable, worth
from tests.cutting.plan.test_checked_plans import job_of
from tests.cutting.plan.test_planning import BAR, RULES, SAW, run, runs

QUICK = Effort(work_limit=30, gap=0.001)
LITTLE = Effort(work_limit=2, gap=0.001)
EXACT = Effort(work_limit=30)


def repriced(plan, offer, saw, splice_price):
    """What a plan costs at other prices of its bars and splices; the bars that stay whole are not bought again."""
    kinds = {(stock.part, stock.length): stock for stock in offer}
    bought = {}
    for bar in plan.bars:
        if bar.pieces:
            bought[bar.part] = bought.get(bar.part, 0) + bar.count
    cost = sum(joint.kind == "splice" for joint in plan.joints) * splice_price
    for bar in plan.bars:
        if bar.pieces:
            stock = kinds[bar.part, bar.stock_length]
            price = charged(stock, bought[bar.part])
            left = usable(stock, saw) - sum(bar.pieces) - len(bar.pieces) * saw.kerf
            cost += bar.count * (price - worth(saw, price, max(0, left)))
    return cost


def at_other_prices(rng, stock):
    price = round(stock.price * rng.uniform(0.93, 1.07))
    breaks = tuple(PriceLevel(level.from_bars, round(price * 0.95)) for level in stock.breaks)
    return replace(stock, price=price, breaks=breaks if rng.random() < 0.8 else ())


def revised_job(seed, whole):
    """A job, and the same one at slightly other prices; without a splice where every run is as long as a bar gives."""
    rng = random.Random(f"revised {seed}")
    asked, offer, rules, saw, splice = job_of(f"revised {seed}")
    if whole:
        longest = max(usable(stock, saw) for stock in offer if stock.available is None) / 10
        asked = [replace(each, length_mm=round(rng.uniform(0.1, 0.9) * longest, 1)) for each in asked]
        asked = [replace(each, attachments_mm=tuple(a for a in each.attachments_mm if a < each.length_mm))
                 for each in asked]  # fmt: skip
    job = asked, offer, rules, saw, splice
    other = [at_other_prices(rng, stock) for stock in offer]
    return job, (asked, other, rules, saw, round(splice * rng.choice([1, 1, 0.8, 1.3])))


SPLICED = [(seed, False) for seed in (0, 1, 2, 3, 5, 47)]
WHOLE = [(seed, True) for seed in (3, 10, 13, 17, 20, 26, 31, 32, 40, 44)]


@pytest.mark.parametrize(("seed", "whole"), [*SPLICED, *WHOLE])
def test_a_revision_at_other_prices_is_never_dearer_than_the_old_plan_repriced(seed, whole):
    job, other = revised_job(seed, whole)
    old = plan_cuts(*job, QUICK if seed % 3 else EXACT)
    new = plan_cuts(*other, replace(LITTLE, before=(old,)))
    assert new.cost <= repriced(old, other[1], other[3], other[4])
    assert new.lower_bound <= new.cost
    assert faults_of(new, *other) == []


@pytest.mark.parametrize("seed", [0, 1, 47])
def test_what_memory_holds_changes_no_revision(seed):
    job, other = revised_job(seed, whole=False)
    old, memory = plan_cuts(*job, QUICK), {}
    asked = replace(LITTLE, before=(old,), memory=memory)
    alone = plan_cuts(*other, replace(asked, memory=None))
    plan_cuts(*other, replace(asked, before=()))
    plan_cuts(*job, asked)
    assert plan_cuts(*other, asked) == plan_cuts(*other, asked) == alone


@pytest.mark.parametrize("seed", range(4))
def test_of_a_job_that_has_changed_as_much_is_kept_as_still_obeys_the_rules(seed):
    rng = random.Random(f"changed {seed}")
    (asked, offer, rules, saw, splice), _ = revised_job(seed, whole=False)
    old = plan_cuts(asked, offer, rules, saw, splice, QUICK)
    changed = [each for each in asked if rng.random() < 0.8] or asked
    changed = [
        replace(each, attachments_mm=tuple(round(a + 40, 1) for a in each.attachments_mm if a + 40 < each.length_mm))
        if rng.random() < 0.2
        else each
        for each in changed
    ]
    changed.append(replace(asked[0], length_mm=asked[0].length_mm + 500, place=replace(asked[0].place, piece=99)))
    offer = [replace(each, available=max(0, each.available - 1)) if each.available else each for each in offer]
    job = changed, offer, replace(rules, min_piece_length_mm=rules.min_piece_length_mm + 50), saw, splice
    new = plan_cuts(*job, replace(LITTLE, before=(old,)))
    assert faults_of(new, *job) == []


def test_at_the_same_cost_the_old_plan_stays_joint_for_joint_and_is_told():
    asked = [*runs(8000.0, 3), run("South/B/row 1/rail 1", 7400.0)]
    old = plan_cuts(asked, [BAR], RULES, SAW, 500)
    moved = plan_cuts(asked, [replace(BAR, length=61_000)], RULES, SAW, 500)
    same = plan_cuts(asked, [BAR], RULES, SAW, 500, Effort(before=(moved, old)))
    assert (old.kept, same.kept, replace(same, kept="none", work=0)) == ("none", "whole", replace(old, work=0))


def test_with_a_row_more_the_bars_of_the_others_stay_and_that_is_told():
    asked = runs(5900.0, 6)
    old = plan_cuts(asked, [BAR], RULES, SAW, 500)
    more = plan_cuts([*asked, run("South/B/row 1/rail 1", 5800.0)], [BAR], RULES, SAW, 500, Effort(before=(old,)))
    assert (more.kept, more.cost) == ("part", old.cost + BAR.price)


def test_a_plan_from_other_bars_or_of_other_runs_is_not_kept():
    old = plan_cuts(runs(5900.0, 3), [BAR], RULES, SAW, 500)
    other = plan_cuts(runs(5900.0, 3), [replace(BAR, part="S6")], RULES, SAW, 500, Effort(before=(old,)))
    shorter = plan_cuts(runs(5000.0, 3), [BAR], RULES, SAW, 500, Effort(before=(old,)))
    assert (other.kept, shorter.kept) == ("none", "none")


def test_a_cheaper_plan_takes_the_place_of_the_old_one():
    long, short = Stock("L", 60_000, 6000), Stock("S", 30_000, 3100)
    old = plan_cuts(runs(2900.0, 4), [long, short], RULES, Saw(), 500)
    new = plan_cuts(runs(2900.0, 4), [long, replace(short, price=2000)], RULES, Saw(), 500, Effort(before=(old,)))
    assert (old.bars_by_length[0].part, new.bars_by_length[0].part, new.kept) == ("L", "S", "none")
